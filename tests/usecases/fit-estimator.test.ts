import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { backtest } from '../../src/core/accumulation/backtest.ts';
import { START_PARAMETERS } from '../../src/core/accumulation/learn-workshop.ts';
import { requireWorkshop } from '../../src/store/workshop.ts';
import { fitEstimator } from '../../src/usecases/fit-estimator.ts';
import { importWorkshop } from '../../src/usecases/import-workshop.ts';
import { parametersOf } from '../../src/usecases/learn-fills.ts';
import { readSiteHistories } from '../../src/usecases/read-site-histories.ts';
import { type Demo, FIXTURES, openDemo } from '../fixtures/demo-app.ts';

let demo: Demo;
beforeAll(async () => {
  demo = await openDemo();
});
afterAll(() => demo.close());

test('parameters fitted on the own history are kept, make its intervals truer, and are not fitted again at once', () => {
  const { context } = demo;
  expect(parametersOf(context.store)).toEqual(START_PARAMETERS);
  expect(fitEstimator(context, 'test')).toBe(true);
  const fitted = parametersOf(context.store);
  const histories = readSiteHistories(context.store);
  const miss = (parameters: typeof fitted) =>
    Math.abs(backtest(histories, [], { parameters }).coverage.p80 - 0.8);
  expect(miss(fitted)).toBeLessThan(0.06);
  expect(fitted).not.toEqual(START_PARAMETERS);
  expect(miss(fitted)).toBeLessThan(miss(START_PARAMETERS));
  expect(fitEstimator(context, 'test')).toBe(false);
});

test('importing the workshop’s file again keeps what was learnt', () => {
  const { context } = demo;
  const learnt = requireWorkshop(context.store).settings.filter;
  expect(learnt).toBeDefined();
  const report = importWorkshop(context, join(FIXTURES, 'workshop.json'), { dryRun: false, actor: 'test' });
  expect(report).toMatchObject({ isNew: false, isChanged: false });
  expect(requireWorkshop(context.store).settings.filter).toEqual(learnt);
});
