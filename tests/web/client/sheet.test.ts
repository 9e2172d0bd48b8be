/** The sheet on the phone: what was said here over what the server sent, and a plan that changed meanwhile. */
import { describe, expect, test } from 'vitest';
import { changesBetween, withSent } from '../../../src/web/client/driver/changes.ts';
import { dueIn } from '../../../src/web/client/driver/due.ts';
import type { Fact, Said } from '../../../src/web/client/driver/fact.ts';
import { onThePhone } from '../../../src/web/client/driver/on-the-phone.ts';
import { afterMark, NOT_STARTED } from '../../../src/web/driver/round-progress.ts';
import type { RoundView, SiteStopView } from '../../../src/web/driver/run-view.ts';
import type { SentSheet } from '../../../src/web/driver/sent-sheet.ts';
import { clockAt, NOW_AT, round, runView, siteStop, TODAY } from '../../fixtures/run-view.ts';

const sheet = (rounds: readonly RoundView[], nowAt = NOW_AT): SentSheet => ({
  driverId: 'mara',
  language: 'en',
  run: { ...runView, nowAt, rounds },
  grades: [],
  sites: [],
});
const AMOUNTS = { netKg: 21, foundFull: false, rejectedKg: 0, grades: [], note: '' };
const weighIn = (n: number, over: Partial<Extract<Said, { kind: 'weigh-in' }>> = {}): Said => ({
  kind: 'weigh-in',
  roundId: 'round-1',
  stopId: `stop-${n}`,
  siteId: `site-${n}`,
  amounts: AMOUNTS,
  ...over,
});
const fact = (seq: number, said: Said, over: Partial<Fact> = {}): Fact => ({
  id: `fact-${seq}`,
  seq,
  driverId: 'mara',
  said,
  phoneAt: NOW_AT,
  known: { offsetS: 0, contactAt: NOW_AT },
  state: 'waiting',
  ...over,
});
const outcomes = (rounds: readonly RoundView[]) =>
  rounds[0]!.stops.flatMap((stop) =>
    stop.kind === 'site' && stop.outcome?.kind === 'weighed' ? [[stop.stopId, stop.outcome.netKg]] : [],
  );

describe('what was said on the phone', () => {
  test('stands at its stop at once, and the latest of several', () => {
    const { run, factOf } = onThePhone(sheet([round]), [
      fact(2, weighIn(4, { amounts: { ...AMOUNTS, netKg: 22 }, replacesId: 'fact-1' })),
      fact(1, weighIn(4)),
    ]);
    expect(outcomes(run.rounds)).toContainEqual(['stop-4', 22]);
    expect(factOf.get('stop-4')?.seq).toBe(2);
  });

  test('gives way to a later sheet once it is handed in, and not before', () => {
    const said = fact(1, weighIn(4), { state: 'handed-in', handedInAt: NOW_AT + 60 });
    expect(outcomes(onThePhone(sheet([round]), [said]).run.rounds)).toContainEqual(['stop-4', 21]);
    expect(onThePhone(sheet([round], NOW_AT + 61), [said]).factOf.size).toBe(0);
    const waits = fact(1, weighIn(4));
    expect(onThePhone(sheet([round], NOW_AT + 9999), [waits]).factOf.size).toBe(1);
  });

  test('does not push away what another phone handed in first, and is not another driver’s', () => {
    const refusal = { kind: 'already-weighed', weighInId: 'weigh-1' };
    const mine = fact(1, weighIn(1), { state: 'refused', refusal });
    const { run, factOf } = onThePhone(sheet([round]), [mine]);
    expect(outcomes(run.rounds)).toContainEqual(['stop-1', 39.2]);
    expect(factOf.get('stop-1')).toBe(mine);
    expect(onThePhone(sheet([round]), [fact(1, weighIn(4), { driverId: 'odo' })]).factOf.size).toBe(0);
  });

  test('is kept in view where the sheet has no place for it', () => {
    const gone = fact(1, weighIn(99));
    const extra = fact(2, { kind: 'pickup', roundId: 'round-1', siteId: 'site-50', amounts: AMOUNTS });
    expect(onThePhone(sheet([round]), [gone, extra]).elsewhere).toEqual([gone, extra]);
  });

  test('moves the marks of the round on', () => {
    const { run } = onThePhone(sheet([round]), [
      fact(1, { kind: 'mark', roundId: 'round-1', mark: 'started' }, { phoneAt: clockAt('08:05') }),
    ]);
    expect(run.rounds[0]!.progress).toEqual({
      last: { mark: 'started', at: clockAt('08:05') },
      next: ['paused', 'finished'],
      workSinceAt: clockAt('08:05'),
    });
  });

  test('and an order of the driver’s own moves only what is still to do; breaks and unloading stay', () => {
    const ids = (order: Record<string, string[]>) =>
      onThePhone(sheet([round]), [], order).run.rounds[0]!.stops.map(({ stopId }) => stopId);
    const planned = round.stops.map(({ stopId }) => stopId);
    expect(ids({})).toEqual(planned);
    expect(ids({ 'round-1': ['stop-6'] })).toEqual(
      planned.map((id) => ({ 'stop-4': 'stop-6', 'stop-5': 'stop-4', 'stop-6': 'stop-5' })[id] ?? id),
    );
  });
});

describe('a plan that changed', () => {
  const withStops = (stops: RoundView['stops']): RoundView => ({ ...round, stops });
  const moved = (stop: SiteStopView, minutes: number): SiteStopView => ({
    ...stop,
    startAt: stop.startAt + minutes * 60,
  });
  const sites = round.stops.filter((stop) => stop.kind === 'site');

  test('is told stop by stop; a few minutes are no change', () => {
    const next = withStops([
      ...sites.slice(0, 4),
      moved(sites[4]!, 14),
      moved(sites[5]!, 16),
      siteStop(8, 'New Mill', '14:30', 20),
    ]);
    const told = changesBetween(sheet([round]), sheet([next]));
    expect(told.map((change) => [change.kind, 'name' in change ? change.name : ''])).toEqual([
      ['stop-gone', 'Birch & Daughter, drapers'],
      ['stop-moved', 'Lantern Festival field'],
      ['stop-added', 'New Mill'],
    ]);
    expect(changesBetween(sheet([round]), sheet([withStops([...round.stops].reverse())]))).toEqual([
      { kind: 'other-order', day: TODAY },
    ]);
    expect(changesBetween(sheet([round]), sheet([]))).toEqual([{ kind: 'round-gone', day: TODAY }]);
    expect(changesBetween(sheet([]), sheet([{ ...round, vanName: 'Van Rook' }]))).toEqual([
      { kind: 'round-added', day: TODAY },
    ]);
  });

  test('is offered, and the old one goes on with what was handed in since', () => {
    const old = sheet([round]);
    const outcome = { kind: 'missed', at: NOW_AT, reason: 'closed', note: '' } as const;
    const fresh = sheet(
      [withStops(sites.slice(0, 5).map((stop) => (stop.stopId === 'stop-4' ? { ...stop, outcome } : stop)))],
      NOW_AT + 600,
    );
    const kept = withSent({ accepted: old }, fresh);
    expect(kept.offered).toBe(fresh);
    expect(kept.accepted.run.rounds[0]!.stops).toHaveLength(round.stops.length);
    expect(kept.accepted.run.rounds[0]!.stops.find(({ stopId }) => stopId === 'stop-4')).toMatchObject({
      outcome,
    });
    // Called off again: there is nothing to accept any more.
    expect(withSent(kept, old).offered).toBeUndefined();
  });

  test('is taken without a word where only what was handed in is new, on another day, by another driver', () => {
    const old = sheet([round]);
    const done = sheet([round], NOW_AT + 60);
    expect(withSent({ accepted: old }, done)).toEqual({ accepted: done });
    const tomorrow = { ...sheet([]), run: { ...runView, todayDay: '2026-03-13', rounds: [] } };
    expect(withSent({ accepted: old }, tomorrow)).toEqual({ accepted: tomorrow });
    const odo = { ...sheet([]), driverId: 'odo' };
    expect(withSent({ accepted: old }, odo)).toEqual({ accepted: odo });
  });
});

describe('breaks and the end of the shift', () => {
  // The fixture's rule: 45 min of break before 4.5 h of work, as in the EU's rule (Regulation (EC) 561/2006, Art. 7).
  const { breakS } = round.breakRule;
  const left = afterMark(NOT_STARTED, 'started', clockAt('08:00'), breakS);
  const paused = afterMark(left, 'paused', clockAt('10:00'), breakS);
  test('a break is due 4.5 h after leaving, and said a quarter of an hour before', () => {
    const going = { ...round, progress: left };
    expect(dueIn(going, clockAt('12:14'))).toMatchObject({ breakByAt: clockAt('12:30'), isBreakDue: false });
    expect(dueIn(going, clockAt('12:16')).isBreakDue).toBe(true);
  });
  test('a pause shorter than the break does not start the work anew; a break does', () => {
    const short = afterMark(paused, 'resumed', clockAt('10:44'), breakS);
    expect(dueIn({ ...round, progress: short }, clockAt('11:00')).breakByAt).toBe(clockAt('12:30'));
    const long = afterMark(paused, 'resumed', clockAt('10:45'), breakS);
    // 10:45 + 4.5 h lies behind the planned end of the round: no further break is asked for.
    expect(dueIn({ ...round, progress: long }, clockAt('11:00')).breakByAt).toBeUndefined();
    expect(dueIn({ ...round, progress: paused }, clockAt('13:00')).isBreakDue).toBe(false);
  });
  test('a shift that is over is said until the round is finished', () => {
    expect(dueIn({ ...round, progress: left }, clockAt('16:01')).isShiftOver).toBe(true);
    const finished = afterMark(left, 'finished', clockAt('15:00'), breakS);
    expect(dueIn({ ...round, progress: finished }, clockAt('16:01')).isShiftOver).toBe(false);
  });
});
