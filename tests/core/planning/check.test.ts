/** The checker goes red: one thing in a good plan is changed, and that thing is named. */
import { expect, test } from 'vitest';
import { checkPlan, type FaultCode } from '../../../src/core/planning/check.ts';
import type { Plan, PlannedRound, PlannedStop } from '../../../src/core/planning/plan.ts';
import { planWeek } from '../../../src/core/planning/plan-week.ts';
import type { PlanningProblem } from '../../../src/core/planning/problem.ts';
import { HOUR_S, randomTown } from '../../fixtures/planning-problems.ts';

// A busy week: every round is long enough for a break, and some promises fall on the weekend.
const town = randomTown(1, { sites: 60, days: 7, promised: 0.15, usual: 0.1, published: 0.3 });
const good = planWeek(town, { seed: 1, iterations: 60 });
const withBreak = good.rounds.findIndex((round) => round.stops.some((stop) => stop.kind === 'break'));

const inRound = (plan: Plan, k: number, change: (round: PlannedRound) => PlannedRound): Plan => ({
  ...plan,
  rounds: plan.rounds.map((round, r) => (r === k ? change(round) : round)),
});
const inStop = (plan: Plan, k: number, change: (stop: PlannedStop) => PlannedStop): Plan =>
  inRound(plan, 0, (round) => ({
    ...round,
    stops: round.stops.map((stop, s) => (s === k ? change(stop) : stop)),
  }));
const codes = (plan: Plan, problem: PlanningProblem = town): FaultCode[] =>
  checkPlan(problem, plan).map((fault) => fault.code);

test('the plan that is spoilt below is good, has a break, an unkept promise and sites left out', () => {
  expect(checkPlan(town, good)).toEqual([]);
  expect(withBreak).toBeGreaterThanOrEqual(0);
  expect(good.unkept.length).toBeGreaterThan(0);
});

test.each<[FaultCode, string, (plan: Plan) => Plan]>([
  ['leg', 'a leg that is shorter than the road', (p) => inStop(p, 1, (s) => ({ ...s, legM: s.legM - 1 }))],
  [
    'time',
    'an arrival before one can be there',
    (p) => inStop(p, 1, (s) => ({ ...s, arriveAt: s.arriveAt - 60 })),
  ],
  ['time', 'a stop without its work', (p) => inStop(p, 0, (s) => ({ ...s, departAt: s.startAt }))],
  ['time', 'a start before arriving', (p) => inStop(p, 0, (s) => ({ ...s, startAt: s.arriveAt - 60 }))],
  ['window', 'a start at night', (p) => inStop(p, 0, (s) => ({ ...s, startAt: s.startAt - 20 * HOUR_S }))],
  [
    'shift',
    'a round that leaves before its shift',
    (p) => inRound(p, 0, (r) => ({ ...r, startAt: r.startAt - 8 * HOUR_S })),
  ],
  [
    'break',
    'a round without its break',
    (p) => inRound(p, withBreak, (r) => ({ ...r, stops: r.stops.filter((s) => s.kind !== 'break') })),
  ],
  [
    'break',
    'a break that is too short',
    (p) =>
      inRound(p, withBreak, (r) => ({
        ...r,
        stops: r.stops.map((s) => (s.kind === 'break' ? { ...s, departAt: s.departAt - 60 } : s)),
      })),
  ],
  [
    'load',
    'a round that ends with a full van',
    (p) => inRound(p, 0, (r) => ({ ...r, stops: r.stops.slice(0, -1) })),
  ],
  [
    'load',
    'a stop that says it takes less',
    (p) => inStop(p, 0, (s) => ({ ...s, expectedKg: s.expectedKg / 2 })),
  ],
  [
    'load',
    'a round that says it carries less',
    (p) => inRound(p, 0, (r) => ({ ...r, cautiousLoadL: r.loadL })),
  ],
  [
    'twice',
    'a site that is visited twice on a day',
    (p) => inRound(p, 0, (r) => ({ ...r, stops: [r.stops[0]!, ...r.stops] })),
  ],
  ['twice', 'a shift that drives two rounds', (p) => ({ ...p, rounds: [...p.rounds, p.rounds[0]!] })],
  ['unknown', 'a shift that nobody has', (p) => inRound(p, 0, (r) => ({ ...r, shiftId: 'nobody' }))],
  ['unknown', 'a site that nobody knows', (p) => inStop(p, 0, (s) => ({ ...s, siteId: 'nowhere' }))],
  ['promise', 'a broken promise that is passed over', (p) => ({ ...p, unkept: p.unkept.slice(1) })],
  [
    'promise',
    'a promise called broken that was never given',
    (p) => ({ ...p, unkept: [...p.unkept, { ...p.unkept[0]!, siteId: 'site-0', windowFromAt: 1 }] }),
  ],
  [
    'left-out',
    'a site left out that is passed over',
    (p) => ({ ...p, leftOut: [...p.leftOut, { ...p.leftOut[0]!, siteId: stopSite(p) }] }),
  ],
  [
    'reason',
    'a reason whose parts do not add up',
    (p) => inStop(p, 0, (s) => ({ ...s, reason: { ...s.reason!, worthMicros: s.reason!.worthMicros + 1 } })),
  ],
  ['reason', 'a stop without a reason', (p) => inStop(p, 0, ({ reason: _, ...s }) => s)],
  ['money', 'a plan that is a micro cheaper', (p) => ({ ...p, costMicros: p.costMicros - 1 })],
  [
    'money',
    'a part that is a micro dearer',
    (p) => ({ ...p, money: { ...p.money, overflow: p.money.overflow + 1 } }),
  ],
  [
    'money',
    'a round that drives for nothing',
    (p) => inRound(p, 0, (r) => ({ ...r, money: { ...r.money, distance: 0 } })),
  ],
  [
    'money',
    'two days that have changed places',
    (p) => ({ ...p, moneyByDay: [p.moneyByDay[1]!, p.moneyByDay[0]!, ...p.moneyByDay.slice(2)] }),
  ],
  ['shape', 'a plan for other days', (p) => ({ ...p, days: p.days.slice(1) })],
  ['shape', 'no plan at all', () => ({}) as Plan],
])('%s: %s', (code, _, spoil) => {
  expect(codes(spoil(good))).toContain(code);
});

const stopSite = (plan: Plan): string => plan.rounds[0]!.stops[0]!.siteId!;

test('a plan for another week does not pass: smaller vans, another price, another fill', () => {
  const smaller = { ...town, shifts: town.shifts.map((s) => ({ ...s, loadSpaceL: s.loadSpaceL / 10 })) };
  expect(
    codes(
      inRoundAll(good, (r) => ({ ...r, loadSpaceL: r.loadSpaceL / 10 })),
      smaller,
    ),
  ).toContain('load');
  const dearer = { ...town, prices: { ...town.prices, overflowMicrosPerDay: 11_000_000 } };
  expect(codes(good, dearer)).toContain('money');
  const [first, ...rest] = town.sites;
  const fuller = {
    ...town,
    sites: [{ ...first!, model: { ...first!.model, leftKg: first!.model.leftKg + 3 } }, ...rest],
  };
  expect(codes(good, fuller)).toContain('money');
});

const inRoundAll = (plan: Plan, change: (round: PlannedRound) => PlannedRound): Plan => ({
  ...plan,
  rounds: plan.rounds.map(change),
});
