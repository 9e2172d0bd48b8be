import { describe, expect, test } from 'vitest';
import { backtest, rollingSteps, scoreOf } from '../../../src/core/accumulation/backtest.ts';
import { fitParameters, LEAST_PICKUPS } from '../../../src/core/accumulation/fit-parameters.ts';
import { learnWorkshop, START_PARAMETERS } from '../../../src/core/accumulation/learn-workshop.ts';
import { cdfKg, type MassForecast } from '../../../src/core/accumulation/mass-forecast.ts';
import { crpsKg, crpsOfValues, crpsUnderBrimKg } from '../../../src/core/accumulation/scores.ts';
import { knowingForecast, simulateWorkshop, YEAR_STARTS_AT } from '../../fixtures/simulated-workshop.ts';

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

  test.each([1e3, 1e5, 1e9])(
    'under a brim of %d kg, far above everything, it is the plain CRPS',
    (brimKg) => {
      for (const kg of [1, 8, 20, 60])
        expect(crpsUnderBrimKg(f, kg, brimKg) / crpsKg(f, kg)).toBeCloseTo(1, 2);
    },
  );

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
    return { fit, result: backtest(histories, loads, { parameters: fit.parameters, fromAt: HALF_YEAR_AT }) };
  });
  const mean = (get: (one: (typeof results)[number]) => number) =>
    results.reduce((sum, one) => sum + get(one), 0) / results.length;

  test('the fit raises the likelihood on what it was fitted to', () => {
    for (const { fit } of results) expect(fit.score).toBeGreaterThan(fit.startScore);
  });

  test('forecasts beat each simple baseline', () => {
    for (const name of ['lastValue', 'movingAverage', 'smoothedRate', 'declared'] as const) {
      expect(
        mean(({ result }) => result.crps / result.baselines[name].crps),
        name,
      ).toBeLessThan(0.97);
      expect(
        mean(({ result }) => result.mae / result.baselines[name].mae),
        name,
      ).toBeLessThan(0.99);
    }
  });

  test('the transform histogram has no bin beyond 5 points from a tenth', () => {
    for (let bin = 0; bin < 10; bin++)
      expect(Math.abs(mean(({ result }) => result.pit[bin]!) - 0.1)).toBeLessThan(0.05);
  });
});

describe('over whole simulated years, fitted on the way, against what truly was in the containers (seeds 400 to 403)', () => {
  const years = [400, 401, 402, 403].map((seed) => {
    const { sites, loads } = simulateWorkshop(seed);
    const bySite = new Map(sites.map((site) => [site.history.siteId, site]));
    const steps = rollingSteps(
      sites.map((site) => site.history),
      loads,
    ).map((step) => ({ ...step, kg: bySite.get(step.siteId)!.truthKg.get(step.evidenceId)! }));
    return { bySite, steps };
  });
  const all = years.flatMap(({ steps }) => steps);

  test('80 % intervals hold 77 to 83 %, 95 % intervals 93 to 97 %; bias within 3 %', () => {
    const { coverage, bias } = scoreOf(all);
    expect(coverage.p80).toBeGreaterThan(0.77);
    expect(coverage.p80).toBeLessThan(0.83);
    expect(coverage.p95).toBeGreaterThan(0.93);
    expect(coverage.p95).toBeLessThan(0.97);
    expect(Math.abs(bias)).toBeLessThan(0.03);
  });

  test('first visits: 80 % intervals hold 75 % or more', () => {
    expect(scoreOf(all.filter((step) => step.earlier === 0)).coverage.p80).toBeGreaterThan(0.75);
  });

  test('in the second half, CRPS is within 7 % of a forecaster that knows the level of every site on every day', () => {
    let own = 0;
    let knowing = 0;
    for (const { bySite, steps } of years)
      for (const step of steps) {
        if (step.at < HALF_YEAR_AT) continue;
        const site = bySite.get(step.siteId)!;
        own += crpsUnderBrimKg(step.forecast, step.kg, site.capacityKg + 1e-9);
        knowing += crpsUnderBrimKg(knowingForecast(site, step.at), step.kg, site.capacityKg + 1e-9);
      }
    expect(own / knowing).toBeLessThan(1.07);
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
