import { expect, test } from 'vitest';
import { learnWeekdays, openWeights, weekdayWeights } from '../../../src/core/accumulation/learn-weekdays.ts';
import type { Evidence, SiteHistory } from '../../../src/core/accumulation/site-history.ts';
import { seededRandom } from '../../../src/core/quantity/random.ts';
import { gammaQuantile } from '../../../src/core/quantity/special.ts';

const DAY_S = 86_400;
const START = Date.UTC(2026, 0, 5) / 1000; // a Monday

/** A site emptied every `every` days at midnight, with gamma noise of cv 0.4 around a weekday profile. */
function site(
  siteId: string,
  profile: readonly number[],
  every: number,
  days: number,
  seed: number,
): SiteHistory {
  const random = seededRandom(seed);
  const evidence: Evidence[] = [];
  let waitingKg = 0;
  for (let day = 0; day < days; day++) {
    const mean = 30 * profile[day % 7]!;
    if (mean > 0) waitingKg += gammaQuantile(0.001 + 0.998 * random.next(), 6, mean / 6);
    if ((day + 1) % every === 0) {
      const at = START + (day + 1) * DAY_S;
      evidence.push({
        kind: 'picked-up',
        id: `${siteId}-${day}`,
        at,
        netKg: waitingKg,
        foundFull: false,
        method: 'scale',
      });
      waitingKg = 0;
    }
  }
  return {
    siteId,
    kind: 'shop',
    zone: 'UTC',
    declaredBagsPerWeek: 10,
    bagKg: 1.8,
    litresPerKg: 50,
    containers: [],
    openWeekdays: profile.map((weight) => weight > 0),
    closedDays: [],
    fillsSinceAt: START,
    isStartKnown: true,
    declaredShares: {},
    evidence,
    surges: [],
  };
}

const BUSY_SATURDAY = [0.1, 0.1, 0.1, 0.1, 0.2, 0.4, 0];

test('a profile is found from intervals of one and two days, and holds for a site of that kind without any', () => {
  const histories = Array.from({ length: 8 }, (_, i) => site(`s${i}`, BUSY_SATURDAY, 1 + (i % 2), 140, i));
  const learnt = learnWeekdays(histories);
  const stranger = site('new', BUSY_SATURDAY, 7, 28, 99);
  for (const history of [histories[0]!, stranger])
    weekdayWeights(history, learnt).forEach((weight, day) => {
      expect(Math.abs(weight - BUSY_SATURDAY[day]!), `day ${day}`).toBeLessThan(0.06);
    });
});

test('a site that differs from its kind gets its own when it has said enough', () => {
  const odd = [0.4, 0.2, 0.1, 0.1, 0.1, 0.1, 0];
  const histories = [
    ...Array.from({ length: 8 }, (_, i) => site(`s${i}`, BUSY_SATURDAY, 1, 140, i)),
    site('odd', odd, 1, 280, 50),
  ];
  const own = weekdayWeights(histories.at(-1)!, learnWeekdays(histories));
  expect(own[0]!).toBeGreaterThan(own[5]!);
});

test('weekly pickups say nothing of weekdays, and what comes later is not looked at', () => {
  const weekly = Array.from({ length: 8 }, (_, i) => site(`s${i}`, BUSY_SATURDAY, 7, 364, i));
  expect(learnWeekdays(weekly)).toEqual({ byKind: {}, bySite: {} });
  expect(weekdayWeights(weekly[0]!, learnWeekdays(weekly))).toEqual(openWeights(weekly[0]!));
  const daily = Array.from({ length: 8 }, (_, i) => site(`s${i}`, BUSY_SATURDAY, 1, 140, i));
  const until = START + 60 * DAY_S;
  const cut = daily.map((h) => ({ ...h, evidence: h.evidence.filter((e) => e.at < until) }));
  expect(learnWeekdays(daily, until)).toEqual(learnWeekdays(cut));
});

test('ten times the mass, and another order of sites, give the same profile', () => {
  const histories = Array.from({ length: 6 }, (_, i) => site(`s${i}`, BUSY_SATURDAY, 1, 100, i));
  const scaled = histories.map((h) => ({
    ...h,
    evidence: h.evidence.map((e) => (e.kind === 'picked-up' ? { ...e, netKg: 10 * e.netKg! } : e)),
  }));
  const one = learnWeekdays(histories).byKind.shop!;
  learnWeekdays(scaled).byKind.shop!.forEach((weight, day) => {
    expect(weight).toBeCloseTo(one[day]!, 12);
  });
  learnWeekdays(histories.toReversed()).byKind.shop!.forEach((weight, day) => {
    expect(weight).toBeCloseTo(one[day]!, 12);
  });
});
