/**
 * A sheet that was fetched anew, against the one the driver goes by. What was handed in meanwhile is taken without a word;
 * a plan that differs is a change to be accepted, and nothing moves under the driver's hands before.
 */
import type { Instant, Seconds } from '../../../core/quantity/units.ts';
import type { RoundView, SiteStopView } from '../../driver/run-view.ts';
import type { SentSheet } from '../../driver/sent-sheet.ts';
import type { KeptRun } from './kept-run.ts';

export type Change =
  | { readonly kind: 'stop-added' | 'stop-gone'; readonly day: string; readonly name: string }
  | {
      readonly kind: 'stop-moved';
      readonly day: string;
      readonly name: string;
      readonly fromAt: Instant;
      readonly toAt: Instant;
    }
  | { readonly kind: 'other-order'; readonly day: string }
  | { readonly kind: 'other-van'; readonly day: string; readonly vanName: string }
  | { readonly kind: 'round-added' | 'round-gone'; readonly day: string };

/** Common practice, no source: a quarter of an hour is within what a round drifts by itself. */
const MOVED_S: Seconds = 900;

export function changesBetween(before: SentSheet, after: SentSheet): readonly Change[] {
  const changes: Change[] = [];
  const old = byDay(before, after.run.todayDay);
  const now = byDay(after, after.run.todayDay);
  for (const day of [...new Set([...old.keys(), ...now.keys()])].sort()) {
    const [was, is] = [old.get(day), now.get(day)];
    if (!was) changes.push({ kind: 'round-added', day });
    else if (!is) changes.push({ kind: 'round-gone', day });
    else changes.push(...changesOfDay(day, was, is));
  }
  return changes;
}

/** Rounds from today on; what is over does not change. */
const byDay = ({ run }: SentSheet, fromDay: string): ReadonlyMap<string, RoundView> =>
  new Map(run.rounds.filter(({ day }) => day >= fromDay).map((round) => [round.day, round]));

function changesOfDay(day: string, was: RoundView, is: RoundView): Change[] {
  const changes: Change[] = [];
  if (was.vanName !== is.vanName) changes.push({ kind: 'other-van', day, vanName: is.vanName });
  const before = sitesOf(was);
  const after = sitesOf(is);
  for (const [siteId, { name }] of before)
    if (!after.has(siteId)) changes.push({ kind: 'stop-gone', day, name });
  for (const [siteId, stop] of after) {
    const old = before.get(siteId);
    if (!old) changes.push({ kind: 'stop-added', day, name: stop.name });
    else if (Math.abs(old.startAt - stop.startAt) > MOVED_S)
      changes.push({ kind: 'stop-moved', day, name: stop.name, fromAt: old.startAt, toAt: stop.startAt });
  }
  const order = (one: ReadonlyMap<string, unknown>, other: ReadonlyMap<string, unknown>) =>
    [...one.keys()].filter((siteId) => other.has(siteId)).join();
  if (changes.length === 0 && order(before, after) !== order(after, before))
    changes.push({ kind: 'other-order', day });
  return changes;
}

const sitesOf = ({ stops }: RoundView): ReadonlyMap<string, SiteStopView> =>
  new Map(stops.filter((stop) => stop.kind === 'site').map((stop) => [stop.siteId, stop]));

/** What the phone keeps once a sheet has come. */
export function withSent(kept: KeptRun | undefined, sent: SentSheet): KeptRun {
  // A day later, or another driver: nobody is on the road by the old one.
  if (kept?.accepted.driverId !== sent.driverId || kept.accepted.run.todayDay !== sent.run.todayDay)
    return { accepted: sent };
  return changesBetween(kept.accepted, sent).length === 0
    ? { accepted: sent }
    : { accepted: keepingOutcomes(kept.accepted, sent), offered: sent };
}

/** The old plan with what was handed in since, so far as its stops are still told of. */
function keepingOutcomes(old: SentSheet, sent: SentSheet): SentSheet {
  const told = new Map(
    sent.run.rounds.flatMap((round) =>
      round.stops.flatMap((stop) => (stop.kind === 'site' ? [[stop.stopId, stop.outcome] as const] : [])),
    ),
  );
  const marks = new Map(sent.run.rounds.map(({ roundId, progress }) => [roundId, progress]));
  const rounds = old.run.rounds.map((round) => ({
    ...round,
    progress: marks.get(round.roundId) ?? round.progress,
    stops: round.stops.map((stop) => {
      const outcome = told.get(stop.stopId);
      return stop.kind === 'site' && outcome ? { ...stop, outcome } : stop;
    }),
  }));
  return { ...old, run: { ...old.run, nowAt: sent.run.nowAt, rounds } };
}
