/**
 * How good the forecasts were: rolling origin over a workshop's own history, one step ahead. Every pickup is
 * forecast from what was known before it, and so are four simple baselines with the same exposure. Each
 * baseline gets its spread from its own past errors, pooled over sites, so that distributions meet distributions.
 */
import type { Instant, Kg } from '../quantity/units.ts';
import { FLAG, ROW } from './evidence-rows.ts';
import { fitPrepared, LEAST_PICKUPS } from './fit-parameters.ts';
import { learnWeekdays, weekdayWeights } from './learn-weekdays.ts';
import { filterPrepared, prepareWorkshop, type Step, startParametersFor, stepsOf } from './learn-workshop.ts';
import { cdfKg, expectedOverflowKg, meanKg } from './mass-forecast.ts';
import { crpsOfValues, crpsUnderBrimKg } from './scores.ts';
import type { LoadWeighed, SiteHistory } from './site-history.ts';
import type { FilterParameters } from './site-model.ts';

export const BASELINES = ['lastValue', 'movingAverage', 'smoothedRate', 'declared'] as const;
export type Baseline = (typeof BASELINES)[number];

export type Score = {
  readonly evaluated: number;
  readonly coverage: { readonly p50: number; readonly p80: number; readonly p95: number };
  readonly crps: Kg;
  readonly mae: Kg;
  /** (Σ forecast - Σ seen) / Σ seen. */
  readonly bias: number;
  readonly meanKg: Kg;
};
export type Backtest = Score & {
  readonly series: number;
  /** Ten bins of the probability integral transform; even means calibrated. Full containers are spread over their tail. */
  readonly pit: readonly number[];
  readonly baselines: { readonly [name in Baseline]: { readonly crps: Kg; readonly mae: Kg } };
  readonly bySite: readonly (Score & { readonly siteId: string })[];
};

export type BacktestOptions = {
  /** Kept throughout; otherwise they are fitted again and again on what had come by then. */
  readonly parameters?: FilterParameters;
  /** Score only what came from then on; everything before still teaches. */
  readonly fromAt?: Instant;
};

/** Parameters are fitted anew whenever the history has grown by half. */
const REFIT_GROWTH = 1.5;

export function backtest(
  histories: readonly SiteHistory[],
  loads: readonly LoadWeighed[] = [],
  options: BacktestOptions = {},
): Backtest {
  const { parameters } = options;
  const prepared = prepareWorkshop(histories, loads);
  const steps = parameters
    ? stepsOf(prepared, filterPrepared(prepared, parameters).said)
    : rollingSteps(histories, loads);
  const { fromAt = Number.NEGATIVE_INFINITY } = options;
  const scored = steps.filter((step) => step.at >= fromAt);
  const bySite = Map.groupBy(scored, (step) => step.siteId);
  return {
    series: bySite.size,
    ...scoreOf(scored),
    pit: pitOf(scored),
    baselines: scoreBaselines(histories, steps, fromAt),
    bySite: [...bySite]
      .map(([siteId, own]) => ({ siteId, ...scoreOf(own) }))
      .toSorted((a, b) => (a.siteId < b.siteId ? -1 : 1)),
  };
}

/**
 * Every pickup forecast with parameters that had seen nothing of it: fitted on the history before, from twenty
 * pickups on and again whenever there are half as many more. What a workshop would have had, day by day.
 */
export function rollingSteps(histories: readonly SiteHistory[], loads: readonly LoadWeighed[] = []): Step[] {
  let prepared = prepareWorkshop(histories, loads);
  const { rows } = prepared;
  const times: Instant[] = [];
  for (const row of rows.inOrder)
    if (rows.cells[row * ROW.size + ROW.flags]! & FLAG.useful)
      times.push(rows.cells[row * ROW.size + ROW.at]!);
  const prior = startParametersFor(prepared);
  let parameters = prior;
  let fromAt = Number.NEGATIVE_INFINITY;
  const steps: Step[] = [];
  for (let seen = LEAST_PICKUPS; ; seen = Math.ceil(seen * REFIT_GROWTH)) {
    const untilAt = times[seen] ?? Number.POSITIVE_INFINITY;
    if (untilAt > fromAt) {
      const { said } = filterPrepared(prepared, parameters, { untilAt });
      for (const step of stepsOf(prepared, said, fromAt, untilAt)) steps.push(step);
    }
    if (untilAt === Number.POSITIVE_INFINITY) return steps;
    const weekdays = learnWeekdays(histories, untilAt);
    prepared = prepareWorkshop(
      histories.map((history) => ({ ...history, weekdayWeights: weekdayWeights(history, weekdays) })),
      loads,
    );
    parameters = fitPrepared(prepared, prior, { start: parameters, untilAt, rounds: 2 }).parameters;
    fromAt = Math.max(fromAt, untilAt);
  }
}

/** Probability below and at the outcome: equal but for a full container, which stands for its whole tail. */
function pitSpan({ forecast, kg, foundFull }: Step): readonly [number, number] {
  const below = cdfKg(forecast, kg);
  return foundFull ? [below, 1] : [below, below];
}

/** A pickup is never more than the containers hold, unless it was: then nobody knows where the brim is. */
const brimKg = ({ foundFull, kg, capacityKg }: Step): Kg =>
  foundFull ? kg : kg <= capacityKg ? capacityKg : Number.POSITIVE_INFINITY;

function expectedPickupKg(step: Step): Kg {
  const brim = brimKg(step);
  const mean = meanKg(step.forecast);
  return brim === Number.POSITIVE_INFINITY ? mean : mean - expectedOverflowKg(step.forecast, brim);
}

/**
 * Share of an outcome inside the interval from `p` to 1 - p. A full container stands for its whole tail, and counts
 * in part, as in the histogram (Czado, Gneiting & Held 2009, Biometrics 65:1254-1261: non-randomised PIT).
 */
function inside([low, high]: readonly [number, number], p: number): number {
  if (high - low < 1e-9) return low >= p && low <= 1 - p ? 1 : 0;
  return Math.max(0, Math.min(high, 1 - p) - Math.max(low, p)) / (high - low);
}

export function scoreOf(steps: readonly Step[]): Score {
  const n = steps.length;
  const sums = { p50: 0, p80: 0, p95: 0, crps: 0, absolute: 0, forecast: 0, seen: 0 };
  for (const step of steps) {
    const span = pitSpan(step);
    sums.p50 += inside(span, 0.25);
    sums.p80 += inside(span, 0.1);
    sums.p95 += inside(span, 0.025);
    sums.crps += crpsUnderBrimKg(step.forecast, step.kg, brimKg(step));
    const expected = expectedPickupKg(step);
    sums.absolute += Math.abs(expected - step.kg);
    sums.forecast += expected;
    sums.seen += step.kg;
  }
  return {
    evaluated: n,
    coverage: { p50: sums.p50 / n, p80: sums.p80 / n, p95: sums.p95 / n },
    crps: sums.crps / n,
    mae: sums.absolute / n,
    bias: sums.forecast / sums.seen - 1,
    meanKg: sums.seen / n,
  };
}

function pitOf(steps: readonly Step[]): number[] {
  const bins = new Array<number>(10).fill(0);
  for (const step of steps) {
    const [low, high] = pitSpan(step);
    for (let bin = 0; bin < 10; bin++) {
      const from = bin / 10;
      const part =
        high - low < 1e-9
          ? Math.min(9, Math.floor(low * 10)) === bin
            ? 1
            : 0
          : Math.max(0, Math.min(high, from + 0.1) - Math.max(low, from)) / (high - low);
      bins[bin]! += part / steps.length;
    }
  }
  return bins;
}

/** Smoothing constant of the rate, a textbook middle (facts: simple exponential smoothing). */
const SMOOTHING = 0.3;
/** Errors a baseline remembers, and how many values its distribution has. */
const REMEMBERED = 500;
const VALUES = 39;
/** Pickups between two looks at the past errors. */
const SPREAD_EVERY = 20;

type Rates = { lastValue: Kg; recent: Kg[]; smoothedRate: Kg; readonly declared: Kg };

function scoreBaselines(
  histories: readonly SiteHistory[],
  steps: readonly Step[],
  fromAt: Instant,
): Backtest['baselines'] {
  const rates = new Map<string, Rates>();
  for (const { siteId, declaredBagsPerWeek, bagKg } of histories) {
    const declared = declaredBagsPerWeek * bagKg;
    rates.set(siteId, { lastValue: declared, recent: [], smoothedRate: declared, declared });
  }
  const errors = new Map<Baseline, number[]>(BASELINES.map((name) => [name, []]));
  const sums = new Map(BASELINES.map((name) => [name, { crps: 0, absolute: 0, n: 0 }]));
  const spreads = new Map<Baseline, readonly number[]>(BASELINES.map((name) => [name, [1]]));
  let count = 0;
  for (const step of steps) {
    if (count++ % SPREAD_EVERY === 0)
      for (const name of BASELINES) spreads.set(name, quantilesOf(errors.get(name)!));
    const own = rates.get(step.siteId)!;
    for (const name of BASELINES) {
      const perWeek = name === 'movingAverage' ? meanOf(own.recent, own.declared) : own[name];
      const point = perWeek * step.weeks;
      if (!(point > 0)) continue;
      const past = errors.get(name)!;
      if (step.at >= fromAt) {
        const sum = sums.get(name)!;
        // The brim cuts a baseline's forecast off as it does the estimator's.
        const brim = brimKg(step);
        const cut = (kg: Kg) => Math.min(kg, brim);
        sum.absolute += Math.abs(cut(point) - step.kg);
        sum.crps += crpsOfValues(
          quantilesOf(past).map((ratio) => cut(ratio * point)),
          step.kg,
        );
        sum.n++;
      }
      past.push(step.kg / point);
      if (past.length > REMEMBERED) past.shift();
    }
    if (step.weeks > 0) {
      const rate = step.kg / step.weeks;
      own.smoothedRate =
        own.recent.length === 0 ? rate : own.smoothedRate + SMOOTHING * (rate - own.smoothedRate);
      own.lastValue = rate;
      own.recent.push(rate);
      if (own.recent.length > 4) own.recent.shift();
    }
  }
  return Object.fromEntries(
    BASELINES.map((name) => {
      const { crps, absolute, n } = sums.get(name)!;
      return [name, { crps: crps / n, mae: absolute / n }];
    }),
  ) as Backtest['baselines'];
}

const meanOf = (values: readonly number[], otherwise: number): number =>
  values.length === 0 ? otherwise : values.reduce((a, b) => a + b, 0) / values.length;

/** Before anything was seen, a point; then the quantiles of past ratios. */
function quantilesOf(past: readonly number[]): readonly number[] {
  if (past.length < 10) return [1];
  const sorted = past.toSorted((a, b) => a - b);
  return Array.from({ length: VALUES }, (_, i) => sorted[Math.floor(((i + 0.5) / VALUES) * sorted.length)]!);
}
