/** Whether a told plan is in danger, what mends it, and what that changes: on drawn towns, held against the checker. */
import { describe, expect, test } from 'vitest';
import { checkPlan } from '../../../src/core/planning/check.ts';
import { comparePlans } from '../../../src/core/planning/compare-plans.ts';
import { dangersOf } from '../../../src/core/planning/danger.ts';
import type { Plan } from '../../../src/core/planning/plan.ts';
import { planWeek } from '../../../src/core/planning/plan-week.ts';
import type { PlanningProblem } from '../../../src/core/planning/problem.ts';
import { at, randomTown } from '../../fixtures/planning-problems.ts';

const TOWN = { sites: 16, days: 5, vans: 2, promised: 0.3, usual: 0.2 };
const BUDGET = { seed: 1, iterations: 200 };

/** A plan that was published, and the facts that it was published in. */
function published(seed: number): { problem: PlanningProblem; told: Plan } {
  const town = randomTown(seed, TOWN);
  const told = planWeek(town, { seed, iterations: 150 });
  const visits = told.rounds.flatMap(({ shiftId, day, stops }) =>
    stops.flatMap(({ siteId, startAt }) =>
      siteId === undefined ? [] : { siteId, shiftId, startAt, dayIndex: town.days.indexOf(day) },
    ),
  );
  return { problem: { ...town, published: visits }, told };
}
const mend = (problem: PlanningProblem, told: Plan, siteIds: readonly string[]) =>
  planWeek(problem, BUDGET, { mend: { told, siteIds } });
const none: ReadonlySet<string> = new Set();

describe.each([1, 2, 3, 4])('town %i', (seed) => {
  const { problem, told } = published(seed);

  test('nothing has happened: no danger but promises that could never be kept', () => {
    const dangers = dangersOf(problem, told, none);
    expect(dangers.filter(({ kind }) => kind !== 'promise-not-held')).toEqual([]);
    const unkept = dangers.flatMap((danger) => (danger.kind === 'promise-not-held' ? danger.siteId : []));
    expect(unkept.sort()).toEqual(told.unkept.map(({ siteId }) => siteId).sort());
  });

  test('nothing has happened: mended, it is the same plan or a cheaper one, and holds', () => {
    const mended = mend(problem, told, []);
    expect(checkPlan(problem, mended)).toEqual([]);
    expect(mended.costMicros).toBeLessThanOrEqual(told.costMicros);
    expect(mend(problem, told, [])).toEqual(mended);
  });

  test('a van less: its round is in danger by name; mended, the plan holds and promises are kept as far as can be', () => {
    const [lost] = told.rounds;
    const shifts = problem.shifts.filter((shift) => shift.shiftId !== lost!.shiftId);
    const facts = { ...problem, shifts };
    const siteIds = lost!.stops.flatMap(({ siteId }) => siteId ?? []);
    expect(dangersOf(facts, told, none)).toContainEqual({
      kind: 'round-without-van',
      shiftId: lost!.shiftId,
      day: lost!.day,
      siteIds,
    });
    // A round that has left is not in danger.
    expect(
      dangersOf(facts, told, none, new Set([lost!.shiftId])).some((one) => one.kind === 'round-without-van'),
    ).toBe(false);
    const mended = mend(facts, told, siteIds);
    expect(checkPlan(facts, mended)).toEqual([]);
    const fresh = planWeek(facts, { seed, iterations: 400 });
    expect(mended.unkept.length).toBeLessThanOrEqual(fresh.unkept.length);
  });

  test('a promise more is kept, and few others are told another day', () => {
    const visited = new Set(told.rounds.flatMap(({ stops }) => stops.flatMap(({ siteId }) => siteId ?? [])));
    const site = problem.sites.find(
      ({ siteId, openByDay, promises }) =>
        !visited.has(siteId) && promises.length === 0 && openByDay[2]!.length > 0,
    );
    if (!site) return expect(visited.size).toBeGreaterThan(10);
    const windows = [{ fromAt: at(2, 8), untilAt: at(2, 17) }];
    const facts = {
      ...problem,
      sites: problem.sites.map((one) =>
        one === site ? { ...one, promises: [{ kind: 'booking' as const, windows }] } : one,
      ),
    };
    expect(dangersOf(facts, told, new Set([site.siteId]))).toContainEqual({
      kind: 'promise-not-held',
      siteId: site.siteId,
      promise: 'booking',
      fromAt: at(2, 8),
      untilAt: at(2, 17),
    });
    const mended = mend(facts, told, [site.siteId]);
    expect(checkPlan(facts, mended)).toEqual([]);
    expect(mended.unkept.length).toBe(told.unkept.length);
    const { differences } = comparePlans(told, mended);
    expect(differences.some((one) => one.siteId === site.siteId && one.kind === 'added')).toBe(true);
  });

  test('a shift cut short, a van exchanged for a small one: said with numbers', () => {
    const [round] = [...told.rounds].sort((a, b) => b.stops.length - a.stops.length);
    const with1 = (change: object): PlanningProblem => ({
      ...problem,
      shifts: problem.shifts.map((shift) =>
        shift.shiftId === round!.shiftId ? { ...shift, ...change } : shift,
      ),
    });
    const shift = problem.shifts.find((one) => one.shiftId === round!.shiftId)!;
    const short = dangersOf(with1({ endAt: shift.startAt + 60 }), told, none);
    const stops = round!.stops.filter((stop) => stop.kind !== 'break').length - 1;
    expect(short).toContainEqual({
      kind: 'shift-too-short',
      shiftId: round!.shiftId,
      day: round!.day,
      stops,
    });
    const small = dangersOf(with1({ payloadKg: 1 }), told, none).find((one) => one.kind === 'van-too-small');
    expect(small).toMatchObject({ shiftId: round!.shiftId, payloadKg: 1 });
    // What the plan itself reckons for its fullest trip.
    expect(small?.kind === 'van-too-small' && small.kg).toBeCloseTo(round!.cautiousLoadKg, 3);
    expect(small?.kind === 'van-too-small' && small.litres).toBeCloseTo(round!.cautiousLoadL, 3);
  });
});

describe('told in words', () => {
  const { problem, told } = published(7);
  const [first] = told.rounds;
  const stop = first!.stops.find(({ siteId }) => siteId !== undefined)!;
  const changed = (rounds: Plan['rounds']): Plan => ({ ...told, rounds });
  const without = told.rounds.map((round) => ({
    ...round,
    stops: round.stops.filter((one) => one.siteId !== stop.siteId),
  }));
  const dayOf = { day: first!.day, shiftId: first!.shiftId, startAt: stop.startAt };

  test('the same plan has no differences', () => {
    expect(comparePlans(told, told)).toEqual({ differences: [], changedDaySiteIds: [], costMicros: 0 });
  });

  test('dropped, and added the other way round', () => {
    const dropped = comparePlans(told, changed(without));
    expect(dropped.changedDaySiteIds).toEqual([stop.siteId]);
    expect(dropped.differences[0]).toMatchObject({ kind: 'dropped', siteId: stop.siteId, from: dayOf });
    const added = comparePlans(changed(without), told);
    expect(added.differences[0]).toMatchObject({ kind: 'added', to: dayOf, reason: stop.reason });
  });

  test('moved to another day, with the reason of the new visit', () => {
    const day = problem.days.find(
      (one) =>
        one > first!.day &&
        !without.some(
          (round) => round.day === one && round.stops.some((other) => other.siteId === stop.siteId),
        ),
    )!;
    const later = { ...first!, day, shiftId: 'later', stops: [{ ...stop, startAt: stop.startAt + 86_400 }] };
    const { differences, changedDaySiteIds } = comparePlans(told, changed([...without, later]));
    expect(changedDaySiteIds).toEqual([stop.siteId]);
    expect(differences[0]).toMatchObject({ kind: 'moved', from: dayOf, to: { day }, reason: stop.reason });
  });

  test('half an hour is no news, a minute more is; another van on the same day moves nobody’s day', () => {
    const shifted = (byS: number, shiftId = first!.shiftId) =>
      comparePlans(
        told,
        changed(
          told.rounds.map((round) =>
            round === first
              ? {
                  ...round,
                  shiftId,
                  stops: round.stops.map((one) =>
                    one === stop ? { ...one, startAt: one.startAt + byS } : one,
                  ),
                }
              : round,
          ),
        ),
      );
    expect(shifted(1800).differences).toEqual([]);
    expect(shifted(1860).differences).toMatchObject([{ kind: 'another-hour', siteId: stop.siteId }]);
    const other = shifted(0, 'other');
    expect(other.differences.every(({ kind }) => kind === 'another-round')).toBe(true);
    expect(other.changedDaySiteIds).toEqual([]);
  });
});
