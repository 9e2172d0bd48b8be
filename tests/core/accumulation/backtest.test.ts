import { describe, expect, test } from 'vitest';
import { backtest, scoreOf } from '../../../src/core/accumulation/backtest.ts';
import { fitParameters, LEAST_PICKUPS } from '../../../src/core/accumulation/fit-parameters.ts';
import { learnWorkshop, START_PARAMETERS } from '../../../src/core/accumulation/learn-workshop.ts';
import { cdfKg, type MassForecast } from '../../../src/core/accumulation/mass-forecast.ts';
import { crpsKg, crpsOfValues, crpsUnderBrimKg } from '../../../src/core/accumulation/scores.ts';
import { simulateWorkshop, YEAR_STARTS_AT } from '../../fixtures/simulated-workshop.ts';

const HALF_YEAR_AT = YEAR_STARTS_AT + 26 * 604_800;

describe('scores', () => {
  const f: MassForecast = { offsetKg: 2, scaleKg: 30, alpha: 5, beta: 9 };

  test.each([1, 2, 8, 20, 60, 200])(
    'the closed form of the CRPS at %d kg is the integral it is defined by',
    (kg) => {
      let sum = 0;
      const width = 0.01;
      for (let x = 0.005; x < 3000; x += width) sum += (cdfKg(f, x) - (x >= kg ? 1 : 0)) ** 2 * width;
      expect(Math.abs(crpsKg(f, kg) - sum)).toBeLessThan(0.01);
    },
  );

  test('under a brim far above everything it is the plain CRPS', () => {
    expect(Math.abs(crpsUnderBrimKg(f, 20, 400) / crpsKg(f, 20) - 1)).toBeLessThan(0.01);
  });

  test('of a point it is the distance; of two values, distance less half their spread', () => {
    expect(crpsOfValues([7], 10)).toBe(3);
    expect(crpsOfValues([8, 12], 10)).toBe(2 - 0.5 * 2);
  });
});

describe('over a simulated year that breaks the model’s assumptions (seeds 400 to 402, second half)', () => {
  const results = [400, 401, 402].map((seed) => {
    const { sites, loads } = simulateWorkshop(seed);
    const histories = sites.map((site) => site.history);
    const before = histories.map((h) => ({ ...h, evidence: h.evidence.filter((e) => e.at < HALF_YEAR_AT) }));
    const fit = fitParameters(
      before,
      loads.filter((load) => load.at < HALF_YEAR_AT),
    );
    return { fit, result: backtest(histories, loads, fit.parameters, HALF_YEAR_AT) };
  });
  const mean = (get: (one: (typeof results)[number]) => number) =>
    results.reduce((sum, one) => sum + get(one), 0) / results.length;

  test('the fit raises the likelihood on what it was fitted to', () => {
    for (const { fit } of results) expect(fit.score).toBeGreaterThan(fit.startScore);
  });

  test('80 % intervals hold 77 to 85 %, 95 % intervals 93 to 97 %, of pickups not used in the fit', () => {
    expect(mean(({ result }) => result.coverage.p80)).toBeGreaterThan(0.77);
    expect(mean(({ result }) => result.coverage.p80)).toBeLessThan(0.85);
    expect(mean(({ result }) => result.coverage.p95)).toBeGreaterThan(0.93);
    expect(mean(({ result }) => result.coverage.p95)).toBeLessThan(0.97);
  });

  test('forecasts are within 3 % of what came, and better than each simple baseline', () => {
    expect(Math.abs(mean(({ result }) => result.bias))).toBeLessThan(0.03);
    for (const name of ['lastValue', 'movingAverage', 'smoothedRate', 'declared'] as const) {
      expect(
        mean(({ result }) => result.crps / result.baselines[name].crps),
        name,
      ).toBeLessThan(0.97);
      expect(
        mean(({ result }) => result.mae / result.baselines[name].mae),
        name,
      ).toBeLessThan(0.97);
    }
  });

  test('the transform histogram has no bin beyond 5 points from a tenth', () => {
    for (let bin = 0; bin < 10; bin++)
      expect(Math.abs(mean(({ result }) => result.pit[bin]!) - 0.1)).toBeLessThan(0.05);
  });
});

test('a short history leaves the start values, and says how short it was', () => {
  const { sites } = simulateWorkshop(7, 3, 60);
  const fit = fitParameters(sites.map((site) => site.history));
  expect(fit.parameters).toBe(START_PARAMETERS);
  expect(fit.pickups).toBeLessThan(LEAST_PICKUPS);
});

test('a back-test by site adds up to the whole, whatever the order of sites', () => {
  const { sites, loads } = simulateWorkshop(8, 10, 120);
  const histories = sites.map((site) => site.history);
  const result = backtest(histories, loads);
  expect(result.bySite.reduce((sum, site) => sum + site.evaluated, 0)).toBe(result.evaluated);
  expect(result.bySite.reduce((sum, site) => sum + site.crps * site.evaluated, 0)).toBeCloseTo(
    result.crps * result.evaluated,
    6,
  );
  const reversed = backtest(histories.toReversed(), loads).bySite;
  reversed.forEach((site, i) => {
    expect(site.siteId).toBe(result.bySite[i]!.siteId);
    expect(site.crps).toBeCloseTo(result.bySite[i]!.crps, 9);
  });
});

test('what comes later changes no forecast of what came before', () => {
  const { sites, loads } = simulateWorkshop(9, 12, 200);
  const histories = sites.map((site) => site.history);
  const until = YEAR_STARTS_AT + 100 * 86_400;
  const early = histories.map((h) => ({ ...h, evidence: h.evidence.filter((e) => e.at < until) }));
  const whole = learnWorkshop(histories, loads).steps.filter((step) => step.at < until);
  const part = learnWorkshop(
    early,
    loads.filter((load) => load.at < until),
  ).steps;
  expect(whole.map((step) => step.evidenceId)).toEqual(part.map((step) => step.evidenceId));
  expect(scoreOf(whole).crps).toBeCloseTo(scoreOf(part).crps, 6);
});
