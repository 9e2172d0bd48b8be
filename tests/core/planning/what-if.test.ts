import { expect, test } from 'vitest';
import { checkPlan } from '../../../src/core/planning/check.ts';
import { MONEY_PARTS, type Money } from '../../../src/core/planning/plan.ts';
import { planWeek } from '../../../src/core/planning/plan-week.ts';
import { whatIf } from '../../../src/core/planning/what-if.ts';
import { randomTown } from '../../fixtures/planning-problems.ts';

const town = randomTown(5, { sites: 14, days: 5, vans: 2, promised: 0.2 });
const plan = planWeek(town, { seed: 1, iterations: 1500 });
const ask = whatIf(town, plan);
const planned = plan.rounds.flatMap((round) =>
  round.stops.flatMap((stop) => (stop.siteId ? [{ siteId: stop.siteId, round, reason: stop.reason! }] : [])),
);
const sum = (money: Money): number => MONEY_PARTS.reduce((total, part) => total + money[part], 0);

test('skipping a stop costs what the stop says it is worth', () => {
  expect(planned.length).toBeGreaterThan(5);
  for (const { siteId, round, reason } of planned) {
    const answer = ask.ask({ kind: 'skip', siteId, day: round.day });
    expect(answer).toMatchObject({
      ok: true,
      value: {
        costMicros: reason.worthMicros,
        difference: reason.withoutIt,
        extraM: -reason.extraM || 0,
        extraS: -reason.extraS || 0,
      },
    });
  }
});

test('adding a site that was left out costs what was said of it', () => {
  const left = plan.leftOut.filter((site) => site.bestDay !== undefined);
  for (const { siteId, bestDay, addsMicros } of left) {
    const answer = ask.ask({ kind: 'add', siteId, day: bestDay! });
    expect(answer).toMatchObject({ ok: true, value: { costMicros: addsMicros } });
  }
});

test('no single move, hand-over or extra visit makes a searched week cheaper', () => {
  for (const { siteId, round } of planned) {
    for (const toDay of town.days) {
      if (toDay === round.day) continue;
      const answer = ask.ask({ kind: 'move', siteId, fromDay: round.day, toDay });
      if (answer.ok && answer.value.overfullShiftIds.length === 0)
        expect(answer.value.costMicros).toBeGreaterThanOrEqual(0);
    }
    const other = town.shifts.find(
      (s) => s.shiftId !== round.shiftId && town.days[s.dayIndex] === round.day,
    )!;
    const handed = ask.ask({ kind: 'hand-over', siteId, day: round.day, shiftId: other.shiftId });
    if (handed.ok) expect(handed.value.costMicros).toBeGreaterThanOrEqual(0);
  }
});

test('the changed plan holds, and costs the old one plus the difference', () => {
  let plans = 0;
  for (const { siteId, round } of planned)
    for (const toDay of town.days) {
      const change = { kind: 'move', siteId, fromDay: round.day, toDay } as const;
      const answer = ask.ask(change);
      const changed = ask.planWith(change);
      if (!answer.ok || !changed.ok) continue;
      plans++;
      expect(checkPlan(town, changed.value)).toEqual([]);
      expect(changed.value.costMicros).toBe(plan.costMicros + answer.value.costMicros);
      expect(sum(answer.value.difference)).toBe(answer.value.costMicros);
    }
  expect(plans).toBeGreaterThan(5);
});

test('what cannot be is refused with what stands in the way', () => {
  const { siteId, round } = planned[0]!;
  const elsewhere = town.days.find(
    (day) => !planned.some((p) => p.siteId === siteId && p.round.day === day),
  )!;
  const kind = (answer: ReturnType<typeof ask.ask>) => (answer.ok ? 'ok' : answer.refusal.kind);
  expect(kind(ask.ask({ kind: 'skip', siteId: 'nowhere', day: round.day }))).toBe('unknown-site');
  expect(kind(ask.ask({ kind: 'skip', siteId, day: '1999-01-01' }))).toBe('unknown-day');
  expect(kind(ask.ask({ kind: 'skip', siteId, day: elsewhere }))).toBe('not-planned');
  expect(kind(ask.ask({ kind: 'add', siteId, day: round.day }))).toBe('already-planned');
  expect(kind(ask.ask({ kind: 'hand-over', siteId, day: round.day, shiftId: 'nobody' }))).toBe(
    'unknown-shift',
  );
  const closed = town.sites.flatMap((site) =>
    town.days.flatMap((day, d) => (site.openByDay[d]!.length === 0 ? [{ siteId: site.siteId, day }] : [])),
  )[0]!;
  expect(kind(ask.ask({ kind: 'add', ...closed }))).toBe('closed');
});
