/** A site lies elsewhere than the register says: its position is corrected, and the legs to it with it. */
import { greatCircleM, isPosition } from '../core/quantity/geodesy.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Metres, Position } from '../core/quantity/units.ts';
import { inTransaction } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { getSite, saveSite } from '../store/sites.ts';
import { requireWorkshop } from '../store/workshop.ts';
import type { Context } from './context.ts';
import { positionFault } from './position-fault.ts';

export type MoveRefusal =
  | { readonly kind: 'site-not-found' }
  | { readonly kind: 'no-place-on-earth' }
  | { readonly kind: 'far-from-workshop'; readonly isSwapped: boolean }
  /** Somebody else has corrected it since it was looked at. */
  | { readonly kind: 'moved-meanwhile'; readonly lat: number; readonly lon: number };

/** About a tenth of a metre: a van is longer. */
const DIGITS = 1e6;
const rounded = ({ lat, lon }: Position): Position => ({
  lat: Math.round(lat * DIGITS) / DIGITS,
  lon: Math.round(lon * DIGITS) / DIGITS,
});
const isSame = (a: Position, b: Position): boolean => a.lat === b.lat && a.lon === b.lon;

/** @param request `from` is what the person saw. The same again changes nothing. */
export function moveSite(
  { store, now }: Context,
  request: {
    readonly siteId: string;
    readonly from: Position;
    readonly to: Position;
    readonly actor: string;
  },
): Result<{ readonly movedM: Metres }, MoveRefusal> {
  if (!isPosition(request.to)) return refuse({ kind: 'no-place-on-earth' });
  return inTransaction(store, (tx) => {
    const site = getSite(tx, request.siteId);
    if (!site) return refuse({ kind: 'site-not-found' });
    const to = rounded(request.to);
    const before = { lat: site.lat, lon: site.lon };
    if (isSame(rounded(before), to)) return ok({ movedM: 0 });
    if (!isSame(rounded(before), rounded(request.from)))
      return refuse({ kind: 'moved-meanwhile', ...before });
    const fault = positionFault(to, requireWorkshop(tx));
    if (fault) return refuse({ kind: 'far-from-workshop', isSwapped: fault === 'swapped' });
    const movedM = Math.round(greatCircleM(before, to));
    saveSite(tx, { ...site, ...to });
    appendEntry(tx, {
      at: now(),
      kind: 'site-moved',
      subject: `site:${site.id}`,
      actor: request.actor,
      facts: { ...to, latBefore: before.lat, lonBefore: before.lon, movedM },
    });
    return ok({ movedM });
  });
}
