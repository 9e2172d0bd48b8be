/**
 * A driver hands in what a stop gave, or corrects it; a coordinator corrects any weigh-in. The same fact twice is one
 * fact.
 */
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant, Kg } from '../core/quantity/units.ts';
import type { Grade, RejectReason } from '../core/vocabulary.ts';
import { listOpenBookings } from '../store/bookings.ts';
import { inTransaction, type Tx } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { getStopPlace } from '../store/plans.ts';
import { getSite, type Site } from '../store/sites.ts';
import { asKept, getWeighIn, listWeighInsOfStops, replacementOf, type WeighIn } from '../store/weigh-ins.ts';
import { listGrades, requireWorkshop } from '../store/workshop.ts';
import { bookCorrection, bookWeighIn, closeBookings } from './book-weigh-in.ts';
import { isStillToCome, type StillToCome } from './clock-skew.ts';
import type { Context } from './context.ts';
import { isSame } from './tables/count-writes.ts';

export type WeighInEntry = {
  /** Made by the phone or form; becomes the weigh-in's id. */
  readonly factId: string;
  /** The stop it happened at, or the site alone for a pickup outside any round. */
  readonly stopId?: string;
  readonly siteId?: string;
  /**
   * When given, the stop must be of a round of this driver. Without, a correction may also say that a pickup outside
   * any round was at another site.
   */
  readonly driverId?: string;
  readonly at: Instant;
  readonly grossKg?: Kg;
  readonly tareKg?: Kg;
  readonly netKg?: Kg;
  readonly bags?: number;
  readonly foundFull: boolean;
  readonly rejectedKg: Kg;
  readonly rejectReason?: RejectReason;
  /** What did not fit in the van and stayed; of a correction that does not say, as it was. Null takes it out. */
  readonly leftKg?: Kg | null;
  readonly grades: readonly { readonly grade: Grade; readonly kg: Kg }[];
  readonly note: string;
  readonly replacesId?: string;
  readonly recordedBy: string;
};

export type WeighInRefusal =
  | { readonly kind: 'stop-not-found' }
  | { readonly kind: 'already-weighed'; readonly weighInId: string }
  | { readonly kind: 'not-the-latest' }
  | { readonly kind: 'fact-differs' }
  | StillToCome;

export function recordWeighIn(
  { store, now, newId }: Context,
  entry: WeighInEntry,
): Result<{ readonly weighInId: string }, WeighInRefusal> {
  return inTransaction(store, (tx) => {
    const site = siteOf(tx, entry);
    if (!site) return refuse({ kind: 'stop-not-found' });
    const same = getWeighIn(tx, entry.factId);
    const previous = entry.replacesId === undefined ? undefined : getWeighIn(tx, entry.replacesId);
    if (same)
      return isSameFact(same, entry, site, previous)
        ? ok({ weighInId: same.id })
        : refuse({ kind: 'fact-differs' });
    const recordedAt = now();
    if (isStillToCome(entry.at, recordedAt)) return refuse({ kind: 'still-to-come' });
    const register = { workshop: requireWorkshop(tx), grades: listGrades(tx), site };
    const row = weighInRow(entry, site, recordedAt, previous);

    if (entry.replacesId !== undefined) {
      const isThisStops =
        previous?.stopId === (entry.stopId ?? null) &&
        (entry.driverId === undefined || previous.siteId === site.id);
      if (!previous || !isThisStops || replacementOf(tx, previous.id))
        return refuse({ kind: 'not-the-latest' });
      bookCorrection(tx, { newId }, register, previous, row);
      if (previous.siteId !== site.id)
        appendEntry(tx, {
          at: recordedAt,
          kind: 'weigh-in-moved-away',
          subject: `site:${previous.siteId}`,
          actor: entry.recordedBy,
          facts: { weighInId: previous.id, toSiteId: site.id, correctedById: entry.factId },
        });
    } else {
      const standing = entry.stopId === undefined ? undefined : listWeighInsOfStops(tx, [entry.stopId])[0];
      if (standing) return refuse({ kind: 'already-weighed', weighInId: standing.id });
      const isBooked = listOpenBookings(tx).filter((booking) => booking.siteId === site.id);
      bookWeighIn(tx, { newId }, register, { ...row, key: entry.factId, replacesId: null });
      closeBookings(tx, register.workshop.zone, isBooked, entry.at);
    }
    const { netKg, bags } = row;
    const told = { at: recordedAt, subject: `site:${site.id}`, actor: entry.recordedBy };
    const facts = { weighInId: entry.factId, stopId: entry.stopId ?? null, netKg, bags };
    const { replacesId } = entry;
    if (replacesId === undefined) appendEntry(tx, { ...told, kind: 'weigh-in-recorded', facts });
    else appendEntry(tx, { ...told, kind: 'weigh-in-corrected', facts: { ...facts, replacesId } });
    return ok({ weighInId: entry.factId });
  });
}

function siteOf(tx: Tx, { stopId, siteId, driverId }: WeighInEntry): Site | undefined {
  if (stopId === undefined) return siteId === undefined ? undefined : getSite(tx, siteId);
  const place = getStopPlace(tx, stopId);
  const isTheirs = place && (driverId === undefined || place.driverId === driverId);
  return isTheirs && place.siteId !== null ? getSite(tx, place.siteId) : undefined;
}

function weighInRow(
  entry: WeighInEntry,
  site: Site,
  recordedAt: Instant,
  previous: WeighIn | undefined,
): Row {
  const { grossKg, tareKg } = entry;
  const scaleKg = grossKg !== undefined && tareKg !== undefined ? grossKg - tareKg : undefined;
  const netKg = entry.netKg ?? scaleKg ?? null;
  return asKept({
    id: entry.factId,
    siteId: site.id,
    at: entry.at,
    netKg,
    grossKg: grossKg ?? null,
    tareKg: tareKg ?? null,
    bags: entry.bags ?? null,
    foundFull: entry.foundFull,
    rejectedKg: entry.rejectedKg,
    rejectReason: entry.rejectReason ?? null,
    leftKg: entry.leftKg === undefined ? (previous?.leftKg ?? null) : entry.leftKg,
    // A mass that stays keeps how it was found: a share of a load does not become a reading of a scale.
    method:
      netKg === null
        ? entry.bags !== undefined
          ? 'bag-count'
          : 'estimate'
        : netKg === previous?.netKg
          ? previous.method
          : 'scale',
    stopId: entry.stopId ?? null,
    loadWeighInId: previous?.loadWeighInId ?? null,
    gradesKg: Object.fromEntries(entry.grades.map(({ grade, kg }) => [grade, kg])),
    note: entry.note.trim().replace(/\r\n?/g, '\n'),
    recordedBy: entry.recordedBy,
    recordedAt,
  });
}

type Row = Omit<WeighIn, 'key' | 'replacesId'>;
/** What was found, where. Times are no part of it: the clock moves on between two presses of a button. */
const found = ({ at: _a, recordedAt: _r, recordedBy: _b, loadWeighInId: _l, ...rest }: Row) => rest;

function isSameFact(
  { key: _, replacesId, ...row }: WeighIn,
  entry: WeighInEntry,
  site: Site,
  previous: WeighIn | undefined,
): boolean {
  const sent = weighInRow(entry, site, row.recordedAt, previous);
  return (entry.replacesId ?? null) === replacesId && isSame(found(sent), found(row));
}
