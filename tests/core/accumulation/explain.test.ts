import { expect, test } from 'vitest';
import { explainFill } from '../../../src/core/accumulation/explain.ts';
import { fillAt, overflowRisk, quantileKg } from '../../../src/core/accumulation/forecast.ts';
import { learnWorkshop } from '../../../src/core/accumulation/learn-workshop.ts';
import type { Evidence, SiteHistory } from '../../../src/core/accumulation/site-history.ts';

const START = Date.UTC(2026, 0, 5) / 1000;
const DAY = 86_400;
const WEEK = 7 * DAY;

const history = (evidence: readonly Evidence[], over: Partial<SiteHistory> = {}): SiteHistory => ({
  siteId: 'a',
  kind: 'shop',
  zone: 'UTC',
  declaredBagsPerWeek: 20,
  bagKg: 1.8,
  litresPerKg: 50,
  containers: [{ count: 2, litresEach: 1100 }],
  openWeekdays: Array(7).fill(true),
  closedDays: [],
  fillsSinceAt: START,
  isStartKnown: true,
  declaredShares: {},
  evidence,
  surges: [],
  ...over,
});
const weekly = (kgs: readonly number[]): Evidence[] =>
  kgs.map((netKg, i) => ({
    kind: 'picked-up',
    id: `e${i}`,
    at: START + (i + 1) * WEEK,
    netKg,
    foundFull: false,
    method: 'scale',
  }));
const explain = (one: SiteHistory, at: number) => explainFill(learnWorkshop([one]).models.get('a')!, at);

test('before any weigh-in the estimate rests on what was declared', () => {
  const facts = explain(history([]), START + WEEK);
  expect(facts.restsOn).toBe('declared');
  expect(facts.weighIns).toBe(0);
  expect(facts.lastWeighInDaysAgo).toBeUndefined();
});

test('after weigh-ins it tells how many, how long ago, and what came of the declared bags', () => {
  const facts = explain(
    history(weekly([18, 19, 17, 18, 18, 19, 18, 17, 18, 18, 19, 18])),
    START + 12 * WEEK + 9 * DAY,
  );
  expect(facts.restsOn).toBe('weigh-ins');
  expect(facts.weighIns).toBe(12);
  expect(facts.lastWeighInDaysAgo).toBeCloseTo(9, 9);
  // 20 bags of 1.8 kg are declared, about 18 kg come: half, that is ten bags.
  expect(facts.againstDeclared).toBeGreaterThan(0.45);
  expect(facts.againstDeclared).toBeLessThan(0.55);
  expect(facts.usualBagsPerWeek).toBeGreaterThan(9);
  expect(facts.usualBagsPerWeek).toBeLessThan(11);
});

test('its numbers are those of the forecast, and its intervals lie inside each other', () => {
  const one = history(weekly([20, 25, 18]));
  const at = START + 4 * WEEK;
  const model = learnWorkshop([one]).models.get('a')!;
  const facts = explainFill(model, at);
  expect(facts.medianKg).toBe(quantileKg(fillAt(model, at), 0.5));
  expect(facts.overflowRisk).toBe(overflowRisk(fillAt(model, at), model.capacityKg));
  expect(facts.interval95Kg[0]).toBeLessThan(facts.interval80Kg[0]);
  expect(facts.interval80Kg[0]).toBeLessThan(facts.interval50Kg[0]);
  expect(facts.interval50Kg[1]).toBeLessThan(facts.interval80Kg[1]);
});

test('the days until full are those at which the chance of overflow says so', () => {
  const model = learnWorkshop([history(weekly([20, 22, 21, 19]))]).models.get('a')!;
  const at = START + 4 * WEEK + DAY;
  const { fullInDays } = explainFill(model, at);
  for (const [name, chance] of [
    ['p10', 0.1],
    ['p50', 0.5],
    ['p90', 0.9],
  ] as const)
    expect(overflowRisk(fillAt(model, at + fullInDays[name]! * DAY), model.capacityKg)).toBeCloseTo(
      chance,
      2,
    );
});

test('what moved it is named, latest first: an unlikely weigh-in, a donor’s word, a closure, an event', () => {
  const evidence: Evidence[] = [
    ...weekly([20, 22, 19, 21, 20, 210, 20]),
    { kind: 'reported', id: 'r', at: START + 7 * WEEK + 5 * DAY, fraction: 1 },
  ];
  const facts = explain(
    history(evidence, {
      closedDays: [{ fromDay: '2026-02-24', untilDay: '2026-02-25' }],
      surges: [
        {
          eventKind: 'festival',
          startsAt: START + 7 * WEEK + 2 * DAY,
          endsAt: START + 7 * WEEK + 3 * DAY,
          expectedBags: 10,
          announcedAt: START,
        },
      ],
    }),
    START + 7 * WEEK + 6 * DAY,
  );
  expect(facts.restsOn).toBe('report');
  const kinds = facts.moved.map((moved) => moved.kind).filter((kind) => kind !== 'level-of-all');
  expect(kinds).toEqual(['report', 'surge', 'closed', 'doubted']);
  expect(facts.moved.find((moved) => moved.kind === 'doubted')).toMatchObject({ weighInId: 'e5' });
});
