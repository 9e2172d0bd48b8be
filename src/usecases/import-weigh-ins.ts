/** Weigh-ins from their table: compared in batches, so that a file of 100,000 rows takes seconds, not memory. */
import type { Instant } from '../core/quantity/units.ts';
import { REJECT_REASONS } from '../core/vocabulary.ts';
import type { Tx } from '../store/db.ts';
import { listSites, type Site } from '../store/sites.ts';
import { currentWeighInsByKey, derivedWeighInKey, type WeighIn } from '../store/weigh-ins.ts';
import { listGrades, requireWorkshop } from '../store/workshop.ts';
import { bookCorrection, bookWeighIn, type Register } from './book-weigh-in.ts';
import type { Context } from './context.ts';
import { gradesOf } from './import-production.ts';
import type { Counts, MakeImport } from './import-table.ts';
import type { Cells } from './tables/cells.ts';
import { isSame } from './tables/count-writes.ts';

const BATCH = 1000;
/** More than any van carries: a slip of grams for kilograms. */
const MAX_NET_KG = 10_000;
const DAY_S = 86_400;

export const importWeighIns: MakeImport<WeighIn> = (tx, context) => {
  const workshop = requireWorkshop(tx);
  const grades = listGrades(tx);
  const known = gradesOf(tx);
  const sites = new Map(listSites(tx).map((site) => [site.key, site]));
  const registers = new Map(
    [...sites.values()].map((site): [string, Register] => [site.id, { workshop, grades, site }]),
  );
  const counts: Counts = { added: 0, changed: 0, unchanged: 0 };
  const nowAt = context.now();
  let batch: WeighIn[] = [];
  const flush = (): void => {
    writeBatch(tx, context, registers, batch, counts);
    batch = [];
  };
  return {
    read: (cells) => readWeighIn(cells, { sites, known, zone: workshop.zone, nowAt, newId: context.newId }),
    identity: (row) => row.key,
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

type Lookups = {
  readonly sites: ReadonlyMap<string, Site>;
  readonly known: ReturnType<typeof gradesOf>;
  readonly zone: string;
  readonly nowAt: Instant;
  readonly newId: () => string;
};

function readWeighIn(cells: Cells, { sites, known, zone, nowAt, newId }: Lookups): WeighIn {
  const kg = { min: 0, max: MAX_NET_KG, unit: 'kg' };
  const site = cells.reference('site', sites, 'site');
  const at = cells.neededInstant('at', zone);
  if (at > nowAt + DAY_S) cells.fault('at', 'lies in the future; check the year');
  const grossKg = cells.number('gross_kg', { min: 0, max: 40_000, unit: 'kg' }) ?? null;
  const tareKg = cells.number('tare_kg', { min: 0, max: 40_000, unit: 'kg' }) ?? null;
  const weighedKg = cells.number('net_kg', kg) ?? null;
  const scaleKg = grossKg !== null && tareKg !== null ? Math.round((grossKg - tareKg) * 1000) / 1000 : null;
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
  const netKg = weighedKg ?? scaleKg;
  const bags = cells.number('bags', { min: 0, max: 10_000, unit: 'bags' }) ?? null;
  const foundFull = cells.yesNo('found_full');
  if (netKg === null && bags === null && !foundFull && cells.faults.length === 0)
    cells.fault(
      'net_kg',
      'nothing says how much it was: give net_kg, gross_kg and tare_kg, bags, or found_full = yes',
    );
  const rejectedKg = cells.number('rejected_kg', kg) ?? 0;
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
    leftKg: null,
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
  gradesKg,
  note,
});

function writeBatch(
  tx: Tx,
  context: Context,
  registers: ReadonlyMap<string, Register>,
  batch: readonly WeighIn[],
  counts: Counts,
): void {
  const current = currentWeighInsByKey(
    tx,
    batch.map((row) => row.key),
  );
  for (const row of batch) {
    const register = registers.get(row.siteId)!;
    const before = current.get(row.key);
    if (!before) {
      bookWeighIn(tx, context, register, row);
      counts.added++;
    } else if (isSame(said(before), said(row))) counts.unchanged++;
    else {
      // What the file does not tell stays as it was: the stop and the load it belongs to.
      const { stopId, loadWeighInId, leftKg } = before;
      bookCorrection(tx, context, register, before, { ...row, stopId, loadWeighInId, leftKg });
      counts.changed++;
    }
  }
}
