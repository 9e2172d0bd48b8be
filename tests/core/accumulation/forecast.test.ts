import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  accrualBetween,
  cdfKg,
  expectedOverflowKg,
  fillAt,
  type MassForecast,
  meanKg,
  overflowRisk,
  quantileKg,
  varianceKg2,
} from '../../../src/core/accumulation/forecast.ts';
import { excessOver, matchMoments } from '../../../src/core/accumulation/mass-forecast.ts';
import { censoredRate, forgetTo, meanRateKg, silentRate } from '../../../src/core/accumulation/rate.ts';
import type { SiteModel } from '../../../src/core/accumulation/site-model.ts';
import { gammaDraw, seededRandom } from '../../../src/core/quantity/random.ts';

const WEEK_S = 604_800;
const START_AT = 1_790_000_000;

const model = (changes: Partial<SiteModel> = {}): SiteModel => ({
  siteId: 's1',
  parameters: { forgetPerWeek: 0.78, granularityKg: 3, roughness: 0.1 },
  rate: { a: 12, b: 220, asOf: START_AT },
  exposure: {
    zone: 'UTC',
    weekdayWeight: Array(7).fill(1 / 7),
    closedDays: [],
    monthFactor: Array(12).fill(1),
  },
  surges: [],
  surgeRatio: { mean: 1, shape: 6 },
  emptiedAt: START_AT,
  leftKg: 0,
  capacityKg: 60,
  capacityL: 3000,
  litresPerKg: 50,
  bagKg: 1.8,
  gradeShares: { 'ldpe-clear': 1 },
  gradeConcentration: 8,
  basis: { weighIns: 3, declaredBagsPerWeek: 10, declaredKgPerWeek: 18, doubted: [] },
  ...changes,
});

const forecasts = fc
  .record({
    offsetKg: fc.double({ min: 0, max: 30, noNaN: true }),
    scaleKg: fc.double({ min: 0.05, max: 200, noNaN: true }),
    alpha: fc.double({ min: 0.6, max: 80, noNaN: true }),
    beta: fc.double({ min: 3, max: 400, noNaN: true }),
  })
  .map((f): MassForecast => f);

describe('a mass forecast', () => {
  test('quantile and distribution function undo each other', () => {
    fc.assert(
      fc.property(forecasts, fc.double({ min: 0.001, max: 0.999, noNaN: true }), (f, p) => {
        expect(cdfKg(f, quantileKg(f, p))).toBeCloseTo(p, 7);
      }),
    );
  });

  test('what fits and what overflows add up to the mean, and all overflows where nothing fits', () => {
    fc.assert(
      fc.property(forecasts, fc.double({ min: 0.5, max: 100, noNaN: true }), (f, roomKg) => {
        // E min(Y, c) by integrating the survival function: an independent way to what fits.
        const capacityKg = f.offsetKg + roomKg;
        const steps = 4000;
        let fits = f.offsetKg;
        for (let i = 0; i < steps; i++)
          fits += (1 - cdfKg(f, f.offsetKg + ((i + 0.5) / steps) * roomKg)) * (roomKg / steps);
        expect(Math.abs(meanKg(f) - expectedOverflowKg(f, capacityKg) - fits)).toBeLessThan(0.003 * roomKg);
        expect(expectedOverflowKg(f, 0)).toBeCloseTo(meanKg(f), 6);
      }),
      { numRuns: 40 },
    );
  });

  test('overflow falls as the container grows', () => {
    fc.assert(
      fc.property(forecasts, fc.double({ min: 0, max: 300, noNaN: true }), (f, kg) => {
        expect(overflowRisk(f, kg + 5)).toBeLessThanOrEqual(overflowRisk(f, kg) + 1e-12);
        expect(expectedOverflowKg(f, kg + 5)).toBeLessThanOrEqual(expectedOverflowKg(f, kg) + 1e-9);
      }),
    );
  });

  test('moments agree with 200,000 draws of the model it comes from', () => {
    // θ ~ InvGamma(12, 220), Y | θ ~ Gamma(νE, ν/θ); ν at the mean rate 20 is 1 / (3/20 + 0.1) = 4. E = 1.
    const f = accrualBetween(model(), START_AT, START_AT + 1e-6);
    expect(meanKg(f)).toBeLessThan(1e-3);
    const week: MassForecast = { offsetKg: 0, scaleKg: 220 / 4, alpha: 4, beta: 12 };
    const random = seededRandom(5);
    const gamma = (shape: number): number => {
      let sum = 0; // whole shapes only
      for (let i = 0; i < shape; i++) sum -= Math.log(1 - random.next());
      return sum;
    };
    let sum = 0;
    let squares = 0;
    let over = 0;
    const draws = 200_000;
    for (let i = 0; i < draws; i++) {
      const theta = 220 / gamma(12);
      const y = (gamma(4) * theta) / 4;
      sum += y;
      squares += y * y;
      if (y > 30) over += y - 30;
    }
    const mean = sum / draws;
    expect(meanKg(week)).toBeCloseTo(20, 9);
    expect(Math.abs(mean - meanKg(week))).toBeLessThan(0.12);
    expect(Math.abs((squares / draws - mean * mean) / varianceKg2(week) - 1)).toBeLessThan(0.03);
    expect(Math.abs(over / draws / expectedOverflowKg(week, 30) - 1)).toBeLessThan(0.03);
  });

  test('matching moments gives them back', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 100, noNaN: true }),
        fc.double({ min: 0.01, max: 2, noNaN: true }),
        fc.double({ min: 3, max: 400, noNaN: true }),
        (mean, cv, beta) => {
          const f = matchMoments(4, mean, (cv * mean) ** 2, beta);
          expect(meanKg(f)).toBeCloseTo(mean + 4, 6);
          expect(varianceKg2(f) / (cv * mean) ** 2).toBeCloseTo(1, 6);
        },
      ),
    );
  });
});

describe('the fill of a site', () => {
  test('is just what was left behind at the instant of emptying', () => {
    const f = fillAt(model({ leftKg: 2.5 }), START_AT);
    expect(meanKg(f)).toBe(2.5);
    expect(varianceKg2(f)).toBe(0);
    expect(overflowRisk(f, 2)).toBe(1);
  });

  test('grows by the mean rate each week, and its interval widens with time', () => {
    const one = fillAt(model(), START_AT + WEEK_S);
    const three = fillAt(model(), START_AT + 3 * WEEK_S);
    expect(meanKg(one)).toBeCloseTo(20, 9);
    expect(meanKg(three)).toBeCloseTo(60, 9);
    const width = (f: MassForecast) => quantileKg(f, 0.9) - quantileKg(f, 0.1);
    expect(width(three)).toBeGreaterThan(width(one));
  });

  test('is less sure the longer ago the last weigh-in is, for the same accrual', () => {
    const soon = accrualBetween(model(), START_AT, START_AT + WEEK_S);
    const later = accrualBetween(model(), START_AT + 4 * WEEK_S, START_AT + 5 * WEEK_S);
    expect(meanKg(later)).toBeCloseTo(meanKg(soon), 9);
    expect(varianceKg2(later)).toBeGreaterThan(varianceKg2(soon));
  });

  test('does not grow while the site is closed', () => {
    const closed = model({
      exposure: { ...model().exposure, closedDays: [{ fromDay: '2000-01-01', untilDay: '2100-01-01' }] },
    });
    expect(meanKg(fillAt(closed, START_AT + WEEK_S))).toBe(0);
  });

  test('scales with the unit: grams in, grams out, same risks', () => {
    const grams = model({
      parameters: { forgetPerWeek: 0.78, granularityKg: 3000, roughness: 0.1 },
      rate: { a: 12, b: 220_000, asOf: START_AT },
    });
    const at = START_AT + 2.3 * WEEK_S;
    expect(quantileKg(fillAt(grams, at), 0.8) / quantileKg(fillAt(model(), at), 0.8)).toBeCloseTo(1000, 6);
    expect(overflowRisk(fillAt(grams, at), 60_000)).toBeCloseTo(overflowRisk(fillAt(model(), at), 60), 10);
  });

  test('a spread of every pickup widens the fill and leaves its mean; two short spans are worth more than a long one', () => {
    const rough = model({ parameters: { ...model().parameters, perPickup: 0.2 } });
    const at = START_AT + 2 * WEEK_S;
    expect(meanKg(fillAt(rough, at))).toBeCloseTo(meanKg(fillAt(model(), at)), 9);
    expect(varianceKg2(fillAt(rough, at))).toBeGreaterThan(varianceKg2(fillAt(model(), at)));
    // By hand: ν = 1 / (3/20 + 0.1) = 4, two weeks are shape 8, with φ = 0.2 only 8 / (1 + 8 × 0.2).
    expect(fillAt(rough, at).alpha).toBeCloseTo(8 / 2.6, 12);
  });

  test('a level factor multiplies what accrues, and leaves what was left behind', () => {
    const lifted = fillAt(model({ leftKg: 5, levelFactor: 1.2 }), START_AT + WEEK_S);
    expect(meanKg(lifted)).toBeCloseTo(5 + 24, 9);
  });

  test('a surge adds what it announces over the days it lasts, with its own uncertainty', () => {
    const surge = {
      eventKind: 'festival' as const,
      startsAt: START_AT + WEEK_S,
      endsAt: START_AT + 2 * WEEK_S,
      expectedKg: 40,
    };
    const withIt = model({ surges: [surge] });
    const gain = (weeks: number) =>
      meanKg(fillAt(withIt, START_AT + weeks * WEEK_S)) - meanKg(fillAt(model(), START_AT + weeks * WEEK_S));
    expect(gain(1)).toBe(0);
    expect(gain(1.5)).toBeCloseTo(20, 9);
    expect(gain(2)).toBeCloseTo(40, 9);
    expect(gain(3)).toBeCloseTo(40, 9);
    const extra =
      varianceKg2(fillAt(withIt, START_AT + 2 * WEEK_S)) -
      varianceKg2(fillAt(model(), START_AT + 2 * WEEK_S));
    expect(extra).toBeCloseTo(1600 * (1 / 6 + 0.22), 6);
  });

  test('a surge in a closed span still comes, though nothing else does', () => {
    const f = fillAt(
      model({
        exposure: { ...model().exposure, closedDays: [{ fromDay: '2000-01-01', untilDay: '2100-01-01' }] },
        surges: [{ eventKind: 'other', startsAt: START_AT + 100, endsAt: START_AT + 100, expectedKg: 12 }],
      }),
      START_AT + WEEK_S,
    );
    expect(meanKg(f)).toBeCloseTo(12, 9);
  });

  test('after a donor says full, the fill is never below that, and goes on growing', () => {
    const reportAt = START_AT + WEEK_S;
    const told = model({ atLeast: { kg: 35, at: reportAt } });
    const then = fillAt(told, reportAt);
    expect(quantileKg(then, 0.001)).toBeGreaterThanOrEqual(35);
    expect(meanKg(then)).toBeGreaterThan(35);
    const later = fillAt(told, reportAt + WEEK_S);
    expect(meanKg(later)).toBeGreaterThan(meanKg(then) + 20); // a full site fills faster than we thought
    expect(meanKg(fillAt(told, reportAt - 10))).toBeCloseTo(meanKg(fillAt(model(), reportAt - 10)), 9);
  });

  test('a report that says nothing new changes little', () => {
    const reportAt = START_AT + 2 * WEEK_S;
    const told = model({ atLeast: { kg: 0.5, at: reportAt } });
    expect(meanKg(fillAt(told, reportAt + WEEK_S))).toBeCloseTo(
      meanKg(fillAt(model(), reportAt + WEEK_S)),
      1,
    );
  });
});

describe('the rate', () => {
  test('keeps its mean while it is forgotten, down to a coefficient of variation of one', () => {
    const rate = { a: 40, b: 780, asOf: START_AT };
    const parameters = { forgetPerWeek: 0.78, granularityKg: 3, roughness: 0.1 };
    const later = forgetTo(rate, START_AT + 3 * WEEK_S, parameters);
    expect(meanRateKg(later)).toBeCloseTo(20, 12);
    expect(later.a).toBeCloseTo(1 + 39 * 0.78 ** 3, 9);
    expect(forgetTo(rate, START_AT + 300 * WEEK_S, parameters).a).toBe(3);
  });

  test('found full raises the mean, more so for a larger container, and not at all for none', () => {
    const rate = { a: 6, b: 100, asOf: START_AT };
    const means = [0, 5, 20, 40, 80].map((kg) => meanRateKg(censoredRate(rate, 4, 4, kg)));
    expect(means[0]).toBe(20);
    for (let i = 1; i < means.length; i++) expect(means[i]!).toBeGreaterThan(means[i - 1]!);
    // 40 times what was thought possible still gives a finite, larger rate.
    const extreme = meanRateKg(censoredRate({ a: 300, b: 5980, asOf: START_AT }, 40, 4, 8000));
    expect(extreme).toBeGreaterThan(30);
    expect(Number.isFinite(extreme)).toBe(true);
  });

  test('the censored step matches the first moments of 200,000 importance draws', () => {
    const random = seededRandom(11);
    const gamma = (shape: number): number => {
      let sum = 0;
      for (let i = 0; i < shape; i++) sum -= Math.log(1 - random.next());
      return sum;
    };
    let hits = 0;
    let sum = 0;
    let squares = 0;
    for (let i = 0; i < 200_000; i++) {
      const tau = gamma(6) / 100;
      if (gamma(4) / (4 * tau) <= 25) continue;
      hits++;
      sum += tau;
      squares += tau * tau;
    }
    const m1 = sum / hits;
    const variance = squares / hits - m1 * m1;
    const posterior = censoredRate({ a: 6, b: 100, asOf: START_AT }, 4, 4, 25);
    expect(posterior.a / posterior.b / m1).toBeCloseTo(1, 2);
    expect(posterior.a / posterior.b ** 2 / variance).toBeGreaterThan(0.97);
    expect(posterior.a / posterior.b ** 2 / variance).toBeLessThan(1.03);
  });
});

describe('a donor who says when it is getting full, and has said nothing', () => {
  const at = START_AT + 2 * WEEK_S;
  const silent = (kg: number, missedShare: number): SiteModel => model({ silence: { kg, at, missedShare } });

  test('has less waiting, the less so the more often calls are missed', () => {
    const means = [0, 0.2, 0.6, 0.9, 1].map((missed) => meanKg(fillAt(silent(40, missed), at + 86_400)));
    for (let i = 1; i < means.length; i++) expect(means[i]!).toBeGreaterThan(means[i - 1]!);
    // Who never calls says nothing by silence.
    const usual = fillAt(model(), at + 86_400);
    expect(means[4]).toBeCloseTo(meanKg(usual), 1);
    expect(overflowRisk(fillAt(silent(40, 0.1), at), 60)).toBeLessThan(overflowRisk(fillAt(model(), at), 60));
    expect(fillAt(silent(40, 0.1), at - 10)).toEqual(fillAt(model(), at - 10));
  });

  test('agrees with 400,000 weighted draws of rate, fill then and what came since', () => {
    const random = seededRandom(5);
    // τ = 1/θ ~ Gamma(12, rate 220), forgotten to the day of the silence; Y | θ ~ Gamma(α, mean θE).
    const then = forgetTo(model().rate, at, model().parameters);
    const shapeThen = 2 / (3 / 20 + 0.1);
    const shapeSince = 0.5 / (3 / 20 + 0.1);
    let weights = 0;
    let first = 0;
    let second = 0;
    let over = 0;
    for (let i = 0; i < 400_000; i++) {
      const theta = then.b / gammaDraw(random, then.a);
      const before = (theta * 2 * gammaDraw(random, shapeThen)) / shapeThen;
      const kg = before + (theta * 0.5 * gammaDraw(random, shapeSince)) / shapeSince;
      const weight = before < 40 ? 1 : 0.2;
      weights += weight;
      first += weight * kg;
      second += weight * kg * kg;
      if (kg > 60) over += weight;
    }
    const mean = first / weights;
    const f = fillAt(silent(40, 0.2), at + WEEK_S / 2);
    expect(Math.abs(meanKg(f) / mean - 1)).toBeLessThan(0.04);
    // Two moments and no more: the variance within a tenth, the tail within three points.
    expect(Math.abs(varianceKg2(f) / (second / weights - mean * mean) - 1)).toBeLessThan(0.1);
    expect(Math.abs(overflowRisk(f, 60) - over / weights)).toBeLessThan(0.03);
  });

  test('fills more slowly than was thought, by the first moments of 200,000 weighted draws', () => {
    const random = seededRandom(12);
    let weights = 0;
    let sum = 0;
    let squares = 0;
    for (let i = 0; i < 200_000; i++) {
      const tau = gammaDraw(random, 6) / 100;
      const weight = gammaDraw(random, 4) / (4 * tau) < 25 ? 1 : 0.3;
      weights += weight;
      sum += weight * tau;
      squares += weight * tau * tau;
    }
    const m1 = sum / weights;
    const posterior = silentRate({ a: 6, b: 100, asOf: START_AT }, 4, 4, 25, 0.3);
    expect(posterior.a / posterior.b / m1).toBeCloseTo(1, 2);
    expect(Math.abs(posterior.a / posterior.b ** 2 / (squares / weights - m1 * m1) - 1)).toBeLessThan(0.03);
  });
});

test('the excess over a level agrees with numerical integration', () => {
  const f: MassForecast = { offsetKg: 1, scaleKg: 30, alpha: 5, beta: 9 };
  const levelKg = 18;
  let mass = 0;
  let first = 0;
  let second = 0;
  for (let i = 0; i < 400_000; i++) {
    const kg = levelKg + (i + 0.5) * 0.01;
    const p = cdfKg(f, kg + 0.005) - cdfKg(f, kg - 0.005);
    mass += p;
    first += p * (kg - levelKg);
    second += p * (kg - levelKg) ** 2;
    if (i > 60_000) break;
  }
  const excess = excessOver(f, levelKg);
  expect(excess.probability).toBeCloseTo(mass, 6);
  expect(excess.meanKg).toBeCloseTo(first / mass, 3);
  expect(excess.varianceKg2 / (second / mass - (first / mass) ** 2)).toBeCloseTo(1, 2);
});
