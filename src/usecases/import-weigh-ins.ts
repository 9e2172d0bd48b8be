/** Weigh-ins from their table: compared in batches, so that a file of 100,000 rows takes seconds, not memory. */
import type { Instant } from '../core/quantity/units.ts';
import { REJECT_REASONS } from '../core/vocabulary.ts';
import { type Booking, listOpenBookings } from '../store/bookings.ts';
import type { Tx } from '../store/db.ts';
import { listSites, type Site } from '../store/sites.ts';
import { currentWeighInsByKey, derivedWeighInKey, type WeighIn } from '../store/weigh-ins.ts';
import { listGrades, requireWorkshop } from '../store/workshop.ts';
import { bookCorrection, bookWeighIn, closeBookings, type Register } from './book-weigh-in.ts';
import { isStillToCome } from './clock-skew.ts';
import type { Context } from './context.ts';
import { gradesOf } from './import-production.ts';
import type { Counts, MakeImport } from './import-table.ts';
import { type Cells, toGram } from './tables/cells.ts';
import { isSame } from './tables/count-writes.ts';

const BATCH = 1000;
/** More than any van carries: a slip of grams for kilograms. */
const MAX_NET_KG = 10_000;

export const importWeighIns: MakeImport<Row> = (tx, context) => {
  const workshop = requireWorkshop(tx);
  const grades = listGrades(tx);
  const known = gradesOf(tx);
  const sites = new Map(listSites(tx).map((site) => [site.key, site]));
  const registers = new Map(
    [...sites.values()].map((site): [string, Register] => [site.id, { workshop, grades, site }]),
  );
  const counts: Counts = { added: 0, changed: 0, unchanged: 0 };
  const nowAt = context.now();
  const booked = Map.groupBy(listOpenBookings(tx), (booking) => booking.siteId);
  let batch: Row[] = [];
  const flush = (): void => {
    writeBatch(tx, context, registers, booked, batch, counts);
    batch = [];
  };
  return {
    read: (cells) => ({
      weighIn: readWeighIn(cells, { sites, known, zone: workshop.zone, nowAt, newId: context.newId }),
      has: (column) => cells.has(column),
    }),
    identity: ({ weighIn }) => weighIn.key,
    write: (row) => {
      batch.push(row);
      if (batch.length === BATCH) flush();
    },
    finish: () => {
      flush();
      return counts;
    },
  };
};

/** A weigh-in as the file tells it, and which columns the file has at all. */
type Row = { readonly weighIn: WeighIn; readonly has: (column: string) => boolean };

type Lookups = {
  readonly sites: ReadonlyMap<string, Site>;
  readonly known: ReturnType<typeof gradesOf>;
  readonly zone: string;
  readonly nowAt: Instant;
  readonly newId: () => string;
};

function readWeighIn(cells: Cells, { sites, known, zone, nowAt, newId }: Lookups): WeighIn {
  const bounds = { min: 0, max: MAX_NET_KG };
  const scale = { min: 0, max: 40_000 };
  const site = cells.reference('site', sites, 'site');
  const at = cells.neededInstant('at', zone);
  if (isStillToCome(at, nowAt)) cells.fault('at', 'lies in the future; check the date and the time');
  const grossKg = cells.kg('gross_kg', scale) ?? null;
  const tareKg = cells.kg('tare_kg', scale) ?? null;
  const weighedKg = cells.kg('net_kg', bounds) ?? null;
  const scaleKg = grossKg !== null && tareKg !== null ? toGram(grossKg - tareKg) : null;
  if (scaleKg !== null && scaleKg < 0)
    cells.fault('tare_kg', `is more than the gross mass of ${grossKg} kg; are the two swapped?`);
  if (scaleKg !== null && weighedKg !== null && Math.abs(scaleKg - weighedKg) > 0.0015)
    cells.fault(
      'net_kg',
      `gross ${grossKg} kg less tare ${tareKg} kg is ${scaleKg} kg; correct one of the three`,
    );
  if ((grossKg === null) !== (tareKg === null) && weighedKg === null)
    cells.fault(
      grossKg === null ? 'gross_kg' : 'tare_kg',
      'gross and tare come together, or give the net mass',
    );
  // What the scale showed; the store keeps net = gross - tare to the gram.
  const netKg = scaleKg ?? weighedKg;
  const bags = cells.number('bags', { min: 0, max: 10_000, unit: 'bags' }) ?? null;
  const foundFull = cells.yesNo('found_full');
  if (netKg === null && bags === null && !foundFull && cells.faults.length === 0)
    cells.fault(
      'net_kg',
      'nothing says how much it was: give net_kg, gross_kg and tare_kg, bags, or found_full = yes',
    );
  const rejectedKg = cells.kg('rejected_kg', bounds) ?? 0;
  if (netKg !== null && rejectedKg > netKg)
    cells.fault('rejected_kg', `is more than the net mass of ${netKg} kg`);
  const gradesKg = cells.grades('grades', known, 'kg');
  const sortedKg = Object.values(gradesKg).reduce((sum, one) => sum + one, 0);
  if (netKg !== null && sortedKg > netKg * 1.02 + 0.5)
    cells.fault(
      'grades',
      `sum to ${Math.round(sortedKg * 10) / 10} kg, more than the net mass of ${netKg} kg`,
    );
  return {
    id: newId(),
    key: cells.raw('key') === '' ? derivedWeighInKey(site?.key ?? '', at) : cells.key('key'),
    siteId: site?.id ?? '',
    at,
    netKg,
    grossKg,
    tareKg,
    bags,
    foundFull,
    rejectedKg,
    rejectReason: cells.oneOf('reject_reason', REJECT_REASONS) ?? null,
    leftKg: cells.kg('left_kg', bounds) ?? null,
    method: netKg !== null ? 'scale' : bags !== null ? 'bag-count' : 'estimate',
    stopId: null,
    loadWeighInId: null,
    replacesId: null,
    gradesKg,
    note: cells.raw('note'),
    recordedBy: 'import',
    recordedAt: nowAt,
  };
}

/** What a file says of a weigh-in; who recorded it and when is not in it. */
const said = ({
  siteId,
  at,
  netKg,
  grossKg,
  tareKg,
  bags,
  foundFull,
  rejectedKg,
  rejectReason,
  leftKg,
  gradesKg,
  note,
}: WeighIn) => ({
  siteId,
  at,
  netKg,
  grossKg,
  tareKg,
  bags,
  foundFull,
  rejectedKg,
  rejectReason,
  leftKg,
  gradesKg,
  note,
});

/** The row, with what its file has no column for as it was: silence is no correction. */
function keepingSilence({ weighIn, has }: Row, before: WeighIn): WeighIn {
  const tellsMass = has('net_kg') || (has('gross_kg') && has('tare_kg'));
  const sameMass = !tellsMass || weighIn.netKg === before.netKg;
  return {
    ...weighIn,
    ...(sameMass ? { netKg: before.netKg, method: before.method } : {}),
    // Gross and tare of another net mass would contradict it.
    ...(sameMass && !(has('gross_kg') && has('tare_kg'))
      ? { grossKg: before.grossKg, tareKg: before.tareKg }
      : {}),
    ...(has('bags') ? {} : { bags: before.bags }),
    ...(has('found_full') ? {} : { foundFull: before.foundFull }),
    ...(has('rejected_kg') ? {} : { rejectedKg: before.rejectedKg }),
    ...(has('reject_reason') ? {} : { rejectReason: before.rejectReason }),
    ...(has('left_kg') ? {} : { leftKg: before.leftKg }),
    ...(has('grades') ? {} : { gradesKg: before.gradesKg }),
    ...(has('note') ? {} : { note: before.note }),
    // No file tells these: the stop and the load it belongs to.
    stopId: before.stopId,
    loadWeighInId: before.loadWeighInId,
  };
}

function writeBatch(
  tx: Tx,
  context: Context,
  registers: ReadonlyMap<string, Register>,
  booked: ReadonlyMap<string, readonly Booking[]>,
  batch: readonly Row[],
  counts: Counts,
): void {
  const current = currentWeighInsByKey(
    tx,
    batch.map(({ weighIn }) => weighIn.key),
  );
  for (const row of batch) {
    const { weighIn } = row;
    const register = registers.get(weighIn.siteId)!;
    const before = current.get(weighIn.key);
    if (!before) {
      bookWeighIn(tx, context, register, weighIn);
      closeBookings(tx, register.workshop.zone, booked.get(weighIn.siteId) ?? [], weighIn.at);
      counts.added++;
      continue;
    }
    const next = keepingSilence(row, before);
    if (isSame(said(before), said(next))) counts.unchanged++;
    else {
      bookCorrection(tx, context, register, before, next);
      counts.changed++;
    }
  }
}
