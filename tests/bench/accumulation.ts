/**
 * How fast and how good the estimator is. Run: npx node tests/bench/accumulation.ts [years]
 * 1. 10,000 sites × 100 weigh-ins learnt in one go;
 * 2. questions a second of the planner's kind;
 * 3. simulated years (tests/fixtures/simulated-workshop.ts), fitted on the first half, scored on the second;
 * 4. open data where a copy lies in $WEIGHINS (see benchOpenData); says so where it does not.
 */
import { existsSync, readFileSync } from 'node:fs';
import { backtest, scoreOf } from '../../src/core/accumulation/backtest.ts';
import { fitParameters } from '../../src/core/accumulation/fit-parameters.ts';
import { expectedOverflowKg, fillAt, meanKg, overflowRisk } from '../../src/core/accumulation/forecast.ts';
import { learnWorkshop, type Step } from '../../src/core/accumulation/learn-workshop.ts';
import type { Evidence, SiteHistory } from '../../src/core/accumulation/site-history.ts';
import { seededRandom } from '../../src/core/quantity/random.ts';
import { simulateWorkshop, YEAR_STARTS_AT } from '../fixtures/simulated-workshop.ts';

const WEEK_S = 604_800;
const f3 = (x: number): string => x.toFixed(3);
const ms = (from: number): string => `${(performance.now() - from).toFixed(0)} ms`;

const plain = (
  siteId: string,
  evidence: readonly Evidence[],
  over: Partial<SiteHistory> = {},
): SiteHistory => ({
  siteId,
  kind: 'shop',
  zone: 'Europe/London',
  declaredBagsPerWeek: 0,
  bagKg: 1.8,
  litresPerKg: 50,
  containers: [],
  openWeekdays: Array(7).fill(true),
  closedDays: [],
  fillsSinceAt: YEAR_STARTS_AT,
  isStartKnown: true,
  declaredShares: {},
  evidence,
  surges: [],
  ...over,
});

function benchSpeed(): void {
  const random = seededRandom(1);
  const histories = Array.from({ length: 10_000 }, (_, i) => {
    const perWeek = 20 * Math.exp(0.7 * random.normal());
    const evidence = Array.from({ length: 100 }, (_, k): Evidence => {
      const kg = Math.max(0, perWeek * (1 + 0.4 * random.normal()));
      const at = YEAR_STARTS_AT + (k + 1) * WEEK_S + random.below(80_000);
      return { kind: 'picked-up', id: `${i}-${k}`, at, netKg: kg, foundFull: false, method: 'scale' };
    });
    return plain(`s${i}`, evidence, {
      declaredBagsPerWeek: perWeek / 1.8,
      containers: [{ count: 2, litresEach: 1100 }],
    });
  });
  const from = performance.now();
  const { models } = learnWorkshop(histories);
  console.log(`10,000 sites x 100 weigh-ins: ${ms(from)}`);
  const model = models.get('s0')!;
  for (const [name, ask] of [
    ['mean', (at: number) => meanKg(fillAt(model, at))],
    ['P(overflow)', (at: number) => overflowRisk(fillAt(model, at), 40)],
    ['expected overflow', (at: number) => expectedOverflowKg(fillAt(model, at), 40)],
  ] as const) {
    let sum = 0;
    const start = performance.now();
    for (let i = 0; i < 200_000; i++) sum += ask(model.emptiedAt + 1000 + 6 * i);
    const us = ((performance.now() - start) / 200_000) * 1000;
    console.log(`${name}: ${us.toFixed(2)} us a question (checksum ${sum.toFixed(0)})`);
  }
}

function benchYears(years: number): void {
  const half = YEAR_STARTS_AT + 26 * WEEK_S;
  const slices = new Map<string, Step[]>();
  const into = (name: string, step: Step) => slices.set(name, [...(slices.get(name) ?? []), step]);
  for (let seed = 400; seed < 400 + years; seed++) {
    const { sites, loads } = simulateWorkshop(seed);
    const histories = sites.map((site) => site.history);
    const early = histories.map((h) => ({ ...h, evidence: h.evidence.filter((e) => e.at < half) }));
    const from = performance.now();
    const { parameters } = fitParameters(
      early,
      loads.filter((load) => load.at < half),
    );
    const took = ms(from);
    const b = backtest(histories, loads, parameters, half);
    const base = Object.entries(b.baselines).map(([name, s]) => `${name} ${f3(b.crps / s.crps)}`);
    console.log(
      `seed ${seed} n ${b.evaluated} cover ${f3(b.coverage.p50)} ${f3(b.coverage.p80)} ${f3(b.coverage.p95)} crps ${f3(b.crps)} mae ${f3(b.mae)} bias ${f3(b.bias)} | crps against ${base.join(', ')} | ${JSON.stringify(parameters)} ${took}`,
    );
    const bySite = new Map(sites.map((site) => [site.history.siteId, site]));
    for (const step of learnWorkshop(histories, loads, parameters).steps) {
      const site = bySite.get(step.siteId)!;
      if (step.earlier < 2) into(step.earlier === 0 ? 'first visit' : 'second visit', step);
      if (step.at < half) continue;
      into('all', step);
      const day = (step.at - YEAR_STARTS_AT) / 86_400;
      if (site.jumpDay !== undefined && day > site.jumpDay && day < site.jumpDay + 28)
        into('28 days after a jump', step);
      const picked = site.history.evidence.filter((e) => e.kind === 'picked-up');
      if (picked.filter((e) => e.foundFull).length >= 0.3 * picked.length) into('often full', step);
      const fromAt = step.at - step.weeks * WEEK_S;
      if (site.history.surges.some((surge) => surge.endsAt > fromAt && surge.startsAt < step.at))
        into('events', step);
    }
  }
  for (const [name, steps] of slices) {
    const s = scoreOf(steps);
    console.log(
      `${name}: n ${s.evaluated} cover ${f3(s.coverage.p50)} ${f3(s.coverage.p80)} ${f3(s.coverage.p95)} relative mae ${f3(s.mae / s.meanKg)} bias ${f3(s.bias)}`,
    );
  }
}

/** Two published sets: weighed lots of surplus food (CC BY 4.0) and fill readings of street bins (OGL v3.0). */
function benchOpenData(folder: string): void {
  const food = `${folder}/stirling-community-food.csv`;
  const bins = `${folder}/edinburgh-bin-sensors-2016.csv`;
  if (!existsSync(food) || !existsSync(bins)) {
    console.log(`open data: not measured, no copy in ${folder} (set WEIGHINS to the folder that has one)`);
    return;
  }
  const rows = (file: string) => readFileSync(file, 'utf8').trim().split('\n').slice(1);
  const lots = new Map<string, Map<number, number>>();
  for (const row of rows(food)) {
    const [day = '', direction, party = '', tonnes = ''] = row.split(',');
    if (direction !== 'in') continue;
    const at = Date.parse(`${day}T12:00:00Z`) / 1000;
    const byDay = lots.get(party) ?? new Map<number, number>();
    byDay.set(at, (byDay.get(at) ?? 0) + 1000 * Number(tonnes));
    lots.set(party, byDay);
  }
  report(
    'surplus food, kg',
    [...lots]
      .filter(([, byDay]) => byDay.size >= 10)
      .map(([party, byDay]) => {
        const sorted = [...byDay].sort(([a], [b]) => a - b);
        const evidence = sorted.map(
          ([at, netKg]): Evidence => ({
            kind: 'picked-up',
            id: `${party}-${at}`,
            at,
            netKg,
            foundFull: false,
            method: 'scale',
          }),
        );
        return plain(party, evidence, { fillsSinceAt: sorted[0]![0], isStartKnown: false });
      }),
  );
  const readings = new Map<string, Evidence[]>();
  for (const row of rows(bins)) {
    // Fields in quotes may hold commas; the ones asked for lie at the two ends.
    const site = row.split(',')[1]!;
    const tail = row.match(/,(\d{4}-\d\d-\d\d \d\d:\d\d:\d\d),(-?[\d.]+),(-?[\d.]+),/);
    if (!tail) continue;
    const at =
      Temporal.PlainDateTime.from(tail[1]!.replace(' ', 'T')).toZonedDateTime('Europe/London')
        .epochMilliseconds / 1000;
    const fill = Number(tail[2]);
    const list = readings.get(site) ?? [];
    list.push({
      kind: 'picked-up',
      id: `${site}-${at}`,
      at,
      netKg: fill,
      foundFull: fill >= 99,
      method: 'scale',
    });
    readings.set(site, list);
  }
  report(
    'street bins, % of fill',
    [...readings]
      .filter(([, list]) => list.length >= 20)
      .map(([site, list]) => {
        const evidence = list.toSorted((a, b) => a.at - b.at);
        return plain(site, evidence, {
          fillsSinceAt: evidence[0]!.at,
          isStartKnown: false,
          containers: [{ count: 1, litresEach: 5000 }],
        });
      }),
  );
}

function report(name: string, histories: readonly SiteHistory[]): void {
  const from = performance.now();
  const { parameters, pickups } = fitParameters(histories);
  const b = backtest(histories, [], parameters);
  const base = Object.entries(b.baselines).map(([key, s]) => `${key} ${f3(s.crps)}`);
  console.log(
    `${name}: ${b.series} series, ${b.evaluated} of ${pickups} pickups, cover ${f3(b.coverage.p50)} ${f3(b.coverage.p80)} ${f3(b.coverage.p95)} crps ${f3(b.crps)} against ${base.join(', ')} bias ${f3(b.bias)} ${JSON.stringify(parameters)} ${ms(from)}`,
  );
  console.log('  (the same history chose the three parameters; the forecasts themselves are one step ahead)');
}

benchSpeed();
benchYears(Number(process.argv[2] ?? 4));
benchOpenData(process.env['WEIGHINS'] ?? '/work/shared/bench/weighins');
