/**
 * How fast and how good the estimator is. Run: npx node tests/bench/accumulation.ts [years]
 * 1. 10,000 sites × 100 weigh-ins learnt in one go;
 * 2. questions a second of the planner's kind;
 * 3. simulated years (tests/fixtures/simulated-workshop.ts), against what was written down and what was true;
 * 4. open data where a copy lies in $WEIGHINS (see benchOpenData); says so where it does not.
 */
import { existsSync, readFileSync } from 'node:fs';
import { backtest, rollingSteps, type Score, scoreOf } from '../../src/core/accumulation/backtest.ts';
import { fitParameters } from '../../src/core/accumulation/fit-parameters.ts';
import { expectedOverflowKg, fillAt, meanKg, overflowRisk } from '../../src/core/accumulation/forecast.ts';
import {
  filterPrepared,
  learnWorkshop,
  prepareWorkshop,
  START_PARAMETERS,
  type Step,
} from '../../src/core/accumulation/learn-workshop.ts';
import { crpsUnderBrimKg } from '../../src/core/accumulation/scores.ts';
import type { Evidence, LoadWeighed, SiteHistory } from '../../src/core/accumulation/site-history.ts';
import type { FilterParameters } from '../../src/core/accumulation/site-model.ts';
import { seededRandom } from '../../src/core/quantity/random.ts';
import { gammaCdf } from '../../src/core/quantity/special.ts';
import {
  knowingForecast,
  type SimulatedSite,
  simulateWorkshop,
  YEAR_STARTS_AT,
} from '../fixtures/simulated-workshop.ts';

const WEEK_S = 604_800;
const f3 = (x: number): string => x.toFixed(3);
const HALF_AT = YEAR_STARTS_AT + 26 * WEEK_S;
/** CPU seconds of this process. */
const cpuS = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

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
  const from = cpuS();
  const prepared = prepareWorkshop(histories);
  const packed = cpuS();
  filterPrepared(prepared, START_PARAMETERS, { keepsForecasts: false });
  const filtered = cpuS();
  const { models } = learnWorkshop(histories);
  console.log(
    `10,000 sites x 100 weigh-ins: ${(packed - from).toFixed(2)} s into rows, ${(filtered - packed).toFixed(2)} s filtered; ${(cpuS() - filtered).toFixed(2)} s from histories to models in one go (CPU)`,
  );
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

/**
 * Coverage of the 80 % interval in the 28 days after a jump for an observer who knows all of this world but when a site
 * jumps, and which way: the level of every day before it, the two sizes of jumps, their chance, bursts and the spread of
 * what comes. Exact Bayes over every day on which it may have been. No estimator can know more.
 */
function idealAfterJump(sites: readonly SimulatedSite[], days: number): { inside: number; n: number } {
  const total = { inside: 0, n: 0 };
  for (const site of sites) {
    const { jumpDay } = site;
    if (jumpDay === undefined) continue;
    const after = site.levelByDayKg.slice(jumpDay, jumpDay + 7).reduce((a, b) => a + b, 0);
    const before = site.levelByDayKg.slice(jumpDay - 7, jumpDay).reduce((a, b) => a + b, 0);
    const factor = after > before ? 2 : 0.45;
    const level = site.levelByDayKg.map((kg, day) => (day >= jumpDay ? kg / factor : kg));
    // Hypotheses: no jump at all, or one on a day, up or down.
    const jumps = [{ day: Infinity, times: 1, weight: 0.8 }];
    for (let day = 60; day < days - 60; day++)
      for (const times of [0.45, 2]) jumps.push({ day, times, weight: 0.1 / (days - 120) });
    let from = -1;
    for (const one of site.history.evidence) {
      if (one.kind !== 'picked-up') continue;
      const kg = site.truthKg.get(one.id)!;
      const until = Math.floor((one.at - YEAR_STARTS_AT) / 86_400);
      const week = level.slice(Math.max(0, until - 7), until).reduce((a, b) => a + b, 0);
      const burst = Math.min(0.5, (0.015 * (until - from)) / 7);
      let below = 0;
      let all = 0;
      for (const jump of jumps) {
        let mean = 0;
        let variance = 0;
        for (let day = from; day <= until; day++) {
          if (day < 0) continue;
          const part = day === from || day === until ? 0.5 : 1;
          const one = level[day]! * (day >= jump.day ? jump.times : 1);
          mean += part * one;
          variance += part * ((one * one) / 6 + site.bagKg * one * 1.125);
        }
        variance += 0.027 * mean * mean;
        const plain = [(mean * mean) / variance, variance / mean] as const;
        const more = mean + 2 * week;
        const moreVariance = variance + (week * week) / 3;
        const burstWith = [(more * more) / moreVariance, moreVariance / more] as const;
        const under = (x: number) =>
          mean > 0 ? (1 - burst) * gammaCdf(x, ...plain) + burst * gammaCdf(x, ...burstWith) : 1;
        below += jump.weight * under(kg);
        all += jump.weight;
        jump.weight *= one.foundFull
          ? 1 - under(kg)
          : (under(kg * 1.01 + 0.01) - under(kg * 0.99)) / (kg + 1);
      }
      const sum = jumps.reduce((weights, jump) => weights + jump.weight, 0);
      if (sum > 0) for (const jump of jumps) jump.weight /= sum;
      const low = below / all;
      if (until > jumpDay && until < jumpDay + 28) {
        total.n++;
        total.inside += one.foundFull
          ? Math.max(0, 0.9 - Math.max(low, 0.1)) / Math.max(1e-9, 1 - low)
          : low >= 0.1 && low <= 0.9
            ? 1
            : 0;
      }
      from = until;
    }
  }
  return total;
}

type Slice = { readonly steps: Step[]; readonly truth: Step[] };

/** Simulated years, parameters fitted anew on the way on what had come by then; the whole year is scored. */
function benchYears(years: number): void {
  const slices = new Map<string, Slice>();
  const into = (name: string, step: Step, truth: Step) => {
    const slice = slices.get(name) ?? { steps: [], truth: [] };
    slice.steps.push(step);
    slice.truth.push(truth);
    slices.set(name, slice);
  };
  const overflow: Overflow[] = [];
  const ideal = { inside: 0, n: 0 };
  let oracle = 0;
  let against = 0;
  for (let seed = 400; seed < 400 + years; seed++) {
    const { sites, loads } = simulateWorkshop(seed);
    const histories = sites.map((site) => site.history);
    const from = cpuS();
    const b = backtest(histories, loads);
    const took = cpuS() - from;
    const base = Object.entries(b.baselines).map(([name, s]) => `${name} ${f3(b.crps / s.crps)}`);
    console.log(
      `seed ${seed} n ${b.evaluated} cover ${cover(b)} crps ${f3(b.crps)} mae ${f3(b.mae)} bias ${f3(b.bias)} | crps against ${base.join(', ')} | ${took.toFixed(1)} s with all fits`,
    );
    const bySite = new Map(sites.map((site) => [site.history.siteId, site]));
    for (const step of rollingSteps(histories, loads)) {
      const site = bySite.get(step.siteId)!;
      const truth = { ...step, kg: site.truthKg.get(step.evidenceId)! };
      if (step.earlier < 2) into(step.earlier === 0 ? 'first visit' : 'second visit', step, truth);
      into('all', step, truth);
      if (step.at >= HALF_AT) {
        into('second half', step, truth);
        oracle += crpsUnderBrimKg(knowingForecast(site, step.at), truth.kg, site.capacityKg + 1e-9);
        against += crpsUnderBrimKg(step.forecast, truth.kg, site.capacityKg + 1e-9);
      }
      const day = (step.at - YEAR_STARTS_AT) / 86_400;
      if (site.jumpDay !== undefined && day > site.jumpDay && day < site.jumpDay + 28)
        into('28 days after a jump', step, truth);
      const earlier = site.history.evidence.filter((e) => e.kind === 'picked-up' && e.at < step.at);
      if (
        earlier.length >= 5 &&
        earlier.filter((e) => 'foundFull' in e && e.foundFull).length >= 0.3 * earlier.length
      )
        into('found full in 30 % of pickups before', step, truth);
      const fromAt = step.at - step.weeks * WEEK_S;
      if (site.history.surges.some((surge) => surge.endsAt > fromAt && surge.startsAt < step.at))
        into('events', step, truth);
    }
    overflow.push(...overflowForecasts(sites, loads));
    const one = idealAfterJump(sites, 371);
    ideal.inside += one.inside;
    ideal.n += one.n;
  }
  for (const [name, { steps, truth }] of slices) {
    const s = scoreOf(steps);
    const t = scoreOf(truth);
    console.log(
      `${name}: n ${s.evaluated} cover ${cover(s)} relative mae ${f3(s.mae / s.meanKg)} bias ${f3(s.bias)} | against the true mass: cover ${cover(t)} crps ${f3(t.crps)} bias ${f3(t.bias)}`,
    );
  }
  console.log(
    `second half, true mass: crps ${f3(against / oracle)} of what knowing every site's level to the gram would give`,
  );
  console.log(
    `28 days after a jump, one who knows all but when and which way: 80 % intervals hold ${f3(ideal.inside / ideal.n)} (n ${ideal.n})`,
  );
  reportOverflow(overflow);
}

const cover = ({ coverage: { p50, p80, p95 } }: Score): string => `${f3(p50)} ${f3(p80)} ${f3(p95)}`;

type Overflow = { readonly said: number; readonly knowing: number; readonly came: boolean };

/** Every Monday from the ninth week on: will this container overflow within seven days if nobody comes? */
function overflowForecasts(sites: readonly SimulatedSite[], loads: readonly LoadWeighed[]): Overflow[] {
  const list: Overflow[] = [];
  let parameters: FilterParameters | undefined;
  for (let week = 8; week < 51; week++) {
    const now = YEAR_STARTS_AT + week * WEEK_S;
    const known = sites.map(({ history }) => ({
      ...history,
      evidence: history.evidence.filter((e) => e.at < now),
      surges: history.surges.filter((surge) => surge.announcedAt < now),
    }));
    const weighed = loads.filter((load) => load.at < now);
    if (!parameters || week % 12 === 8) ({ parameters } = fitParameters(known, weighed));
    const { models } = learnWorkshop(known, weighed, parameters);
    for (const site of sites) {
      const model = models.get(site.history.siteId)!;
      const untilDay = (week + 1) * 7;
      const emptied = Math.floor((model.emptiedAt - YEAR_STARTS_AT) / 86_400);
      let kg = model.basis.weighIns > 0 ? site.massByDayKg[emptied]! / 2 : site.massByDayKg[0]!;
      for (let day = emptied + 1; day < untilDay; day++) kg += site.massByDayKg[day]!;
      list.push({
        said: overflowRisk(fillAt(model, now + WEEK_S), site.capacityKg),
        knowing: overflowRisk(knowingForecast(site, now + WEEK_S, emptied), site.capacityKg),
        came: kg > site.capacityKg,
      });
    }
  }
  return list;
}

function reportOverflow(list: readonly Overflow[]): void {
  const rate = list.filter(({ came }) => came).length / list.length;
  const skill = (of: (one: Overflow) => number) =>
    1 -
    list.reduce((sum, one) => sum + (of(one) - Number(one.came)) ** 2, 0) / list.length / (rate * (1 - rate));
  console.log(
    `overflow within 7 days: n ${list.length}, came true ${f3(rate)}, Brier skill against climatology ${f3(skill((one) => one.said))}; of one that knows every level ${f3(skill((one) => one.knowing))}`,
  );
  for (let bin = 0; bin < 10; bin++) {
    const own = list.filter(({ said }) => Math.min(9, Math.floor(said * 10)) === bin);
    const said = own.reduce((sum, one) => sum + one.said, 0) / own.length;
    const came = own.filter((one) => one.came).length / own.length;
    console.log(
      `  said ${f3(said)} came ${f3(came)} (n ${own.length}, ${(100 * (came - said)).toFixed(1)} points)`,
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
          containers: [{ count: 1, litresEach: 5000 }], // 100 % at 50 L a unit
        });
      }),
  );
}

function report(name: string, histories: readonly SiteHistory[]): void {
  const from = cpuS();
  const b = backtest(histories);
  const base = Object.entries(b.baselines).map(([key, s]) => `${key} ${f3(s.crps)}`);
  console.log(
    `${name}: ${b.series} series, ${b.evaluated} pickups, cover ${cover(b)} crps ${f3(b.crps)} against ${base.join(', ')} bias ${f3(b.bias)}; ${(cpuS() - from).toFixed(1)} s with all fits`,
  );
}

benchSpeed();
benchYears(Number(process.argv[2] ?? 4));
benchOpenData(process.env['WEIGHINS'] ?? '/work/shared/bench/weighins');
