import { describe, expect, test } from 'vitest';
import { type Change, NO_WISHES, withPins } from '../../../src/core/planning/changes.ts';
import { checkPlan } from '../../../src/core/planning/check.ts';
import { MONEY_PARTS, type Money } from '../../../src/core/planning/plan.ts';
import { planWeek } from '../../../src/core/planning/plan-week.ts';
import { whatIf } from '../../../src/core/planning/what-if.ts';
import { seededRandom } from '../../../src/core/quantity/random.ts';
import { randomTown } from '../../fixtures/planning-problems.ts';

const town = randomTown(5, { sites: 14, days: 5, vans: 2, promised: 0.2 });
const plan = planWeek(town, { seed: 1, iterations: 1500 });
const { ask, before, lost } = whatIf(town, plan, NO_WISHES);
const planned = plan.rounds.flatMap((round) =>
  round.stops.flatMap((stop) => (stop.siteId ? [{ siteId: stop.siteId, round, reason: stop.reason! }] : [])),
);
const sum = (money: Money): number => MONEY_PARTS.reduce((total, part) => total + money[part], 0);
const told = (changes: readonly Change[]) => {
  const answer = ask(changes);
  if (!answer.ok) throw new Error(answer.refusal.kind);
  return answer.value.consequences;
};
/** Of what can be driven, or nothing. */
const costs = (...changes: readonly Change[]): number | undefined => {
  const { after } = told(changes);
  return after && after.costMicros - before.costMicros;
};
const refusal = (...changes: readonly Change[]) => {
  const answer = ask(changes);
  return answer.ok ? 'ok' : answer.refusal;
};
const elsewhere = (siteId: string) =>
  town.days.find((day) => !planned.some((p) => p.siteId === siteId && p.round.day === day))!;
const otherShift = (shiftId: string, day: string) =>
  town.shifts.find((s) => s.shiftId !== shiftId && town.days[s.dayIndex] === day)!;

test('before any change the figures are the plan’s own', () => {
  expect(lost).toEqual([]);
  expect(before.money).toEqual(plan.money);
  expect(before.unkept).toEqual(plan.unkept);
  for (const round of plan.rounds) {
    const { stops: _, tripRisks: _t, money: _m, driveS: _d, skipFirst: _s, ...own } = round;
    expect(before.rounds.find((one) => one.shiftId === round.shiftId)).toMatchObject(own);
  }
  expect(before.shortageKg).toBeCloseTo(
    plan.stock.reduce((kg, { shortKg }) => kg + shortKg, 0),
    9,
  );
});

test('skipping a stop costs what the stop says it is worth', () => {
  expect(planned.length).toBeGreaterThan(5);
  for (const { siteId, round, reason } of planned) {
    const { difference, after, before, sites } = told([{ kind: 'skip', siteId, day: round.day }]);
    expect(difference).toEqual(reason.withoutIt);
    const day = (figures: typeof before) => figures.days.find((one) => one.day === round.day)!;
    expect(day(before).distanceM - day(after!).distanceM).toBe(reason.extraM);
    expect(day(before).durationS - day(after!).durationS).toBe(reason.extraS);
    expect(sites[0]!.after!.overflowRisk).toBeGreaterThanOrEqual(reason.overflowRisk - 1e-6);
  }
});

test('adding a site that was left out costs what was said of it', () => {
  for (const { siteId, bestDay, addsMicros } of plan.leftOut)
    if (bestDay !== undefined) expect(costs({ kind: 'add', siteId, day: bestDay })).toBe(addsMicros);
});

test('no single move, hand-over or other position makes a searched week cheaper', () => {
  for (const { siteId, round } of planned) {
    for (const toDay of town.days) {
      const change = { kind: 'move', siteId, day: round.day, toDay } as const;
      if (toDay === round.day || refusal(change) !== 'ok' || told([change]).obstacles.length > 0) continue;
      expect(costs(change)).toBeGreaterThanOrEqual(0);
    }
    const { shiftId } = otherShift(round.shiftId, round.day);
    const handed = { kind: 'move', siteId, day: round.day, shiftId } as const;
    if (told([handed]).obstacles.length === 0) expect(costs(handed)).toBeGreaterThanOrEqual(0);
    for (let position = 1; position <= round.stops.length; position++) {
      const placed = { kind: 'move', siteId, day: round.day, position } as const;
      if (told([placed]).obstacles.length === 0) expect(costs(placed)).toBeGreaterThanOrEqual(0);
    }
  }
});

test('lists of changes: the changed plan holds, and costs to the unit what was said', () => {
  const random = seededRandom(3);
  let plans = 0;
  for (let i = 0; i < 200; i++) {
    const changes = Array.from({ length: 1 + random.below(4) }, (): Change => {
      const { siteId, round } = planned[random.below(planned.length)]!;
      const toDay = town.days[random.below(town.days.length)]!;
      const position = 1 + random.below(6);
      const out = plan.leftOut[random.below(Math.max(1, plan.leftOut.length))];
      const day = round.day;
      const kinds: Change[] = [
        { kind: 'skip', siteId, day },
        { kind: 'move', siteId, day, toDay },
        { kind: 'move', siteId, day, toDay, position },
        { kind: 'move', siteId, day, shiftId: otherShift(round.shiftId, day).shiftId },
        { kind: 'pin', siteId, day },
        { kind: 'swap-drivers', shiftId: round.shiftId, withShiftId: otherShift(round.shiftId, day).shiftId },
        ...(out ? [{ kind: 'add', siteId: out.siteId, day: toDay } as const] : []),
      ];
      return kinds[random.below(kinds.length)]!;
    });
    const answer = ask(changes);
    if (!answer.ok || answer.value.consequences.obstacles.length > 0) continue;
    const { consequences, problem, plan: changed, wishes } = answer.value;
    plans++;
    const made = changed();
    expect(checkPlan(problem, made), JSON.stringify(changes)).toEqual([]);
    expect(made.money).toEqual(consequences.after!.money);
    expect(sum(consequences.difference!)).toBe(made.costMicros - plan.costMicros);
    // Laid out afresh, from the plan and its wishes alone, it is the same week.
    const again = whatIf(problem, made, wishes);
    expect(again.lost).toEqual([]);
    expect(again.before).toEqual(consequences.after);
  }
  expect(plans).toBeGreaterThan(80);
});

test('a stop comes to the position that was asked for', () => {
  const round = [...plan.rounds].sort((a, b) => b.stops.length - a.stops.length)[0]!;
  const sites = round.stops.flatMap(({ siteId }) => siteId ?? []);
  expect(sites.length).toBeGreaterThan(2);
  let seen = 0;
  for (let position = 1; position <= sites.length; position++) {
    const siteId = sites[0]!;
    const answer = ask([{ kind: 'move', siteId, day: round.day, position }]);
    if (!answer.ok || answer.value.consequences.obstacles.length > 0) continue;
    seen++;
    const changed = answer.value.plan().rounds.find((one) => one.shiftId === round.shiftId)!;
    expect(changed.stops.flatMap((stop) => stop.siteId ?? []).indexOf(siteId)).toBe(position - 1);
  }
  expect(seen).toBeGreaterThan(1);
});

describe('pins', () => {
  const [{ siteId, round }] = planned as [(typeof planned)[number]];
  const { day } = round;

  test('a pin is a promise that the next run keeps, and goes along with its stop', () => {
    const to = elsewhere(siteId);
    const moved = ask([
      { kind: 'move', siteId, day, toDay: to },
      { kind: 'pin', siteId, day: to },
    ]);
    if (!moved.ok) throw new Error(moved.refusal.kind);
    expect(moved.value.consequences.obstacles).toEqual([]);
    expect(moved.value.wishes.pins).toEqual([{ siteId, day: to }]);
    const again = planWeek(moved.value.problem, { seed: 2, iterations: 500 });
    const stop = again.rounds
      .filter((one) => one.day === to)
      .flatMap(({ stops }) => stops)
      .find((one) => one.siteId === siteId);
    expect(stop?.reason?.code).toBe('pinned');
    const wishes = { ...NO_WISHES, pins: [{ siteId, day }] };
    const pinned = whatIf(withPins(town, wishes.pins), plan, wishes);
    const along = pinned.ask([{ kind: 'move', siteId, day, toDay: to }]);
    expect(along.ok && along.value.wishes.pins).toEqual([{ siteId, day: to }]);
    const skipped = pinned.ask([{ kind: 'skip', siteId, day }]);
    expect(skipped.ok && skipped.value.wishes.pins).toEqual([]);
    const unpinned = pinned.ask([{ kind: 'unpin', siteId, day }]);
    expect(unpinned.ok && unpinned.value.problem).toEqual(town);
    expect(refusal({ kind: 'unpin', siteId, day })).toMatchObject({ kind: 'not-pinned' });
  });
});

test('a broken promise is named, not hidden', () => {
  const kept = planned.find(({ reason }) => reason.code === 'promised' || reason.code === 'booked')!;
  const { brokenPromises, obstacles, difference } = told([
    { kind: 'skip', siteId: kept.siteId, day: kept.round.day },
  ]);
  expect(obstacles).toEqual([]);
  expect(brokenPromises.map(({ siteId }) => siteId)).toEqual([kept.siteId]);
  expect(difference!.lateness).toBe(town.prices.brokenPromiseMicros);
});

test('a van that is too small is named with its numbers, and the rest is reckoned all the same', () => {
  // One van of the week takes 15 kg, less than most containers hold by then.
  const { shiftId, dayIndex } = town.shifts.at(-1)!;
  const small = {
    ...town,
    shifts: town.shifts.map((s) => (s.shiftId === shiftId ? { ...s, payloadKg: 15, loadSpaceL: 300 } : s)),
  };
  const { ask } = whatIf(small, plan, NO_WISHES);
  const day = town.days[dayIndex]!;
  const heavy = town.sites.flatMap(({ siteId }) => {
    const answer = ask([{ kind: 'add', siteId, day, shiftId }]);
    return answer.ok ? answer.value.consequences : [];
  });
  let named = 0;
  for (const { obstacles, after } of heavy)
    for (const one of obstacles) {
      if (one.kind !== 'van-over-payload' && one.kind !== 'van-over-space') continue;
      named++;
      const round = after!.rounds.find((r) => r.shiftId === one.shiftId)!;
      if (one.kind === 'van-over-payload')
        expect(one).toMatchObject({ payloadKg: 15, cautiousLoadKg: round.cautiousLoadKg });
      else expect(one).toMatchObject({ loadSpaceL: 300, cautiousLoadL: round.cautiousLoadL });
      expect(round.cautiousLoadKg > 15 || round.cautiousLoadL > 300).toBe(true);
    }
  expect(named).toBeGreaterThan(2);
});

test('a shift that is too short is named with its time', () => {
  // Everybody on one van on one day, whoever is open.
  const { shiftId, dayIndex } = town.shifts[0]!;
  const day = town.days[dayIndex]!;
  const open = town.sites.filter((site) => site.openByDay[dayIndex]!.length > 0);
  const short = {
    ...town,
    shifts: town.shifts.map((s) => (s.shiftId === shiftId ? { ...s, endAt: s.startAt + 2 * 3600 } : s)),
  };
  const empty = { ...plan, rounds: [] };
  const { ask } = whatIf(short, empty, NO_WISHES);
  const answer = ask(open.map(({ siteId }) => ({ kind: 'add', siteId, day, shiftId })));
  if (!answer.ok) throw new Error(answer.refusal.kind);
  const [obstacle] = answer.value.consequences.obstacles;
  expect(obstacle?.kind).toBe('shift-exceeded');
  if (obstacle?.kind !== 'shift-exceeded') return;
  expect(obstacle.latestAt).toBe(
    short.shifts.find((s) => s.shiftId === shiftId)!.endAt + town.prices.maxOvertimeS,
  );
  expect(obstacle.endAt - obstacle.latestAt).toBe(obstacle.byS);
  expect(obstacle.byS).toBeGreaterThan(0);
  expect(answer.value.consequences.after).toBeUndefined();
});

test('what cannot be read against the plan is refused, with the place in the list', () => {
  const { siteId, round } = planned[0]!;
  const { day } = round;
  const fine = { kind: 'pin', siteId, day } as const;
  const kind = (change: Change) => refusal(fine, change);
  expect(kind({ kind: 'skip', siteId: 'nowhere', day })).toEqual({ kind: 'unknown-site', change: 1 });
  expect(kind({ kind: 'skip', siteId, day: '1999-01-01' })).toEqual({ kind: 'unknown-day', change: 1 });
  expect(kind({ kind: 'skip', siteId, day: elsewhere(siteId) })).toEqual({ kind: 'not-planned', change: 1 });
  expect(kind({ kind: 'add', siteId, day })).toEqual({ kind: 'already-planned', change: 1 });
  expect(kind({ kind: 'move', siteId, day, shiftId: 'x' })).toEqual({ kind: 'unknown-shift', change: 1 });
  const { shiftId } = round;
  expect(kind({ kind: 'swap-drivers', shiftId, withShiftId: shiftId })).toEqual({
    kind: 'unknown-shift',
    change: 1,
  });
  const closed = town.sites.flatMap((site) =>
    town.days.flatMap((on, d) => (site.openByDay[d]!.length === 0 ? [{ siteId: site.siteId, day: on }] : [])),
  )[0]!;
  expect(told([{ kind: 'add', ...closed }]).obstacles).toEqual([{ kind: 'closed', ...closed }]);
});

test('drivers change places: money follows their hours, and nobody drives two vans at once', () => {
  const { shiftId, day } = plan.rounds[0]!;
  const other = otherShift(shiftId, day);
  const dear = {
    ...town,
    shifts: town.shifts.map((s) =>
      s.shiftId === other.shiftId ? { ...s, driverId: 'dear', costMicrosPerHour: 90_000_000 } : s,
    ),
  };
  const { ask, before } = whatIf(dear, plan, NO_WISHES);
  const answer = ask([{ kind: 'swap-drivers', shiftId, withShiftId: other.shiftId }]);
  if (!answer.ok) throw new Error(answer.refusal.kind);
  const { after, difference } = answer.value.consequences;
  const own = (figures: typeof before, id: string) => figures.rounds.find((r) => r.shiftId === id);
  expect(own(after!, shiftId)!.driverId).toBe('dear');
  // Hours × (90 − the old price) of the one round, and less of the other if it is driven.
  const cheap = dear.shifts.find((s) => s.shiftId === shiftId)!.costMicrosPerHour;
  const hours =
    ((own(before, shiftId)?.durationS ?? 0) - (own(before, other.shiftId)?.durationS ?? 0)) / 3600;
  expect(difference!.time).toBeCloseTo(hours * (90_000_000 - cheap), -1);
  const insteadOfId = dear.shifts.find((s) => s.shiftId === shiftId)!.driverId;
  expect(answer.value.wishes.drivers).toContainEqual({ shiftId, driverId: 'dear', insteadOfId });
  const swap = { kind: 'swap-drivers', shiftId, withShiftId: other.shiftId } as const;
  const back = ask([swap, swap]);
  expect(back.ok && back.value.wishes.drivers).toEqual([]);
  expect(back.ok && back.value.consequences.difference!.time).toBe(0);
});
