/**
 * A simulated year under the planner, taken apart: where its overflow, its kilometres and its shortage come from, and what
 * knowing more would be worth. `npm run bench apart -- --seeds 1,101,102 --weeks 30 --iterations 300 --days 12
 * [--knows levels|future] [--json]`.
 */
import { parseArgs } from 'node:util';
import { layOutWeek, type WeekBase } from '../../src/core/planning/week.ts';
import { plannerPolicy, USUAL_PLANNER } from '../../src/core/simulation/planner-policy.ts';
import { TO_WORKSHOP } from '../../src/core/simulation/policy.ts';
import { figuresOf } from '../../src/core/simulation/report.ts';
import { makeWorld, USUAL_WORLD } from '../../src/core/simulation/world.ts';
import { isOpenOn } from '../../src/core/simulation/world-site.ts';
import { simulateYear, type YearWatch } from '../../src/core/simulation/year.ts';
import { layOutWithFuture, layOutWithLevels, type Truth } from './all-knowing.ts';

const { values } = parseArgs({
  options: {
    seeds: { type: 'string', default: '1,101,102' },
    weeks: { type: 'string', default: '30' },
    iterations: { type: 'string', default: '300' },
    days: { type: 'string', default: '12' },
    knows: { type: 'string', default: 'evidence' },
    json: { type: 'boolean', default: false },
  },
});
const seeds = values.seeds.split(',').map(Number);
const [weeks, iterations, horizonDays] = [values.weeks, values.iterations, values.days].map(Number) as [
  number,
  number,
  number,
];
if (
  ![...seeds, weeks, iterations, horizonDays].every(Number.isInteger) ||
  !['evidence', 'levels', 'future'].includes(values.knows)
) {
  console.error('Numbers are whole; --knows takes evidence, levels or future.');
  process.exit(2);
}

/** Below this share of its container a visit is called low. */
const LOW = 0.4;
/** A round this long left no time for more. */
const BUSY_SHARE = 0.9;

function takeApart(seed: number) {
  const world = makeWorld(seed, { ...USUAL_WORLD, weeks });
  const scoredFrom = Math.min(56, Math.floor(world.days / 2));
  const vanKg = Math.min(world.van.payloadKg, world.van.loadSpaceL / world.sites[0]!.known.litresPerKg);
  let truth: Truth = { day: 0, sites: [] };
  let stockKg: readonly number[] = [];
  let week: WeekBase | undefined;
  let visited = new Set<number>();
  let isBusy = false;
  const lost = new Set<number>();
  const overflow = {
    surprise: 0,
    doubtful: 0,
    knownAndLeft: 0,
    noTimeLeft: 0,
    closed: 0,
    onTheDayOfAVisit: 0,
  };
  const shortage = { whileOtherGradesLay: 0, whileItWaitedAtSites: 0 };
  const trips = { planned: 0, plannedKg: 0, driven: 0, drivenKg: 0, distanceM: 0, radialM: 0 };
  const visits = { count: 0, filled: 0, low: 0 };
  const guess = { off: 0, thought: 0, was: 0, count: 0 };

  /** Chance that the site was full that noon, as the last morning's tables had it. */
  const riskOf = (site: number): number => week!.tables[site]!.risk[1]!;
  const watch: YearWatch = {
    morning(day, sites, stock) {
      settle();
      truth = { day, sites: sites.map(({ waitingKg, besideKg }) => ({ waitingKg, besideKg })) };
      stockKg = [...stock];
      visited = new Set();
      isBusy = false;
    },
    round(day, order, { stops, workS, distanceM, unloadings }) {
      for (const { site, isMissed } of stops) if (!isMissed) visited.add(site);
      isBusy = workS > BUSY_SHARE * 3600 * (world.shiftHours.until - world.shiftHours.from);
      if (day < scoredFrom) return;
      if (order.length > 0) trips.planned += 1 + order.filter((stop) => stop === TO_WORKSHOP).length;
      for (const site of order) if (site !== TO_WORKSHOP) trips.plannedKg += week!.tables[site]!.massKg[1]!;
      trips.driven += unloadings;
      trips.distanceM += distanceM;
      for (const { site, takenKg, leftKg, isMissed } of stops) {
        if (isMissed) continue;
        trips.drivenKg += takenKg;
        trips.radialM += (2 * world.travel.legM[world.sites[site]!.place]! * takenKg) / vanKg;
        const share = Math.min(1, (takenKg + leftKg) / world.sites[site]!.capacityKg);
        visits.count++;
        visits.filled += share;
        if (share < LOW) visits.low++;
      }
      // Without a shift nobody thinks anew.
      if (!world.shiftDays[day % 7]) return;
      truth.sites.forEach(({ waitingKg, besideKg }, i) => {
        const site = world.sites[i]!;
        const was = Math.min(site.capacityKg, waitingKg + site.massByDayKg[day]! / 2) + besideKg;
        const thought = week!.tables[i]!.massKg[1]!;
        guess.off += Math.abs(thought - was);
        guess.thought += thought;
        guess.was += was;
        guess.count++;
      });
    },
    lost: (day, site) => void (day >= scoredFrom && lost.add(site)),
    boughtIn(day, _, kg) {
      if (day < scoredFrom) return;
      const sum = (list: readonly number[]): number => list.reduce((total, part) => total + part, 0);
      if (sum(stockKg) > sum(world.drawKg[day]!)) shortage.whileOtherGradesLay += kg;
      if (sum(truth.sites.map((site) => site.waitingKg)) > kg) shortage.whileItWaitedAtSites += kg;
    },
  };
  /** Yesterday's overflow by why it came. */
  const settle = (): void => {
    for (const site of lost) {
      const { day } = truth;
      if (visited.has(site)) overflow.onTheDayOfAVisit++;
      else if (!world.shiftDays[day % 7] || !isOpenOn(world.sites[site]!, day)) overflow.closed++;
      else if (riskOf(site) < 0.2) overflow.surprise++;
      else if (riskOf(site) < 0.5) overflow.doubtful++;
      else if (isBusy) overflow.noTimeLeft++;
      else overflow.knownAndLeft++;
    }
    lost.clear();
  };

  const policy = plannerPolicy({
    ...USUAL_PLANNER,
    iterations,
    horizonDays,
    layOut(problem) {
      if (values.knows === 'levels') week = layOutWithLevels(problem, truth);
      else if (values.knows === 'future') week = layOutWithFuture(problem, world, truth);
      else week = layOutWeek(problem);
      return week;
    },
  });
  const run = simulateYear(world, policy, watch);
  let step = run.next();
  while (!step.done) step = run.next();
  settle();
  const { unavoidableKg } = step.value;
  return {
    seed,
    vanKg,
    figures: figuresOf(step.value),
    overflow,
    shortage,
    unavoidableKg,
    trips,
    visits,
    guess,
  };
}

const worlds = seeds.map(takeApart);
if (values.json) console.log(JSON.stringify({ ...values, worlds }));
else
  for (const { seed, vanKg, figures, overflow, shortage, unavoidableKg, trips, visits, guess } of worlds) {
    const per = (amount: number, of: number, digits = 0): string =>
      of > 0 ? (amount / of).toFixed(digits) : '-';
    console.log(
      [
        `world ${seed}, ${weeks} weeks, ${iterations} iterations, ${horizonDays} days, knows ${values.knows}`,
        `  ${figures.kmPerTonne.toFixed(0)} km/t, ${figures.moneyPerTonne.toFixed(0)} money/t, ${figures.overflowDays} overflow days, ${figures.overflowEvents} events, ${(100 * figures.lostShare).toFixed(1)} % lost`,
        `  overflow days: ${Object.entries(overflow)
          .map(([why, days]) => `${why} ${days}`)
          .join(', ')}`,
        `  bought in ${figures.boughtInKg.toFixed(0)} kg, unavoidable ${unavoidableKg.toFixed(0)}; while other grades lay in store ${shortage.whileOtherGradesLay.toFixed(0)}, while it waited at sites ${shortage.whileItWaitedAtSites.toFixed(0)}`,
        `  trips: planned ${trips.planned} of ${per(trips.plannedKg, trips.planned)} kg, driven ${trips.driven} of ${per(trips.drivenKg, trips.driven)} of ${vanKg} kg and ${per(trips.distanceM / 1000, trips.driven, 1)} km; radial bound ${per(trips.radialM, trips.drivenKg)} km/t`,
        `  visits: ${visits.count}, ${per(100 * visits.filled, visits.count)} % full, ${per(100 * visits.low, visits.count)} % of them below ${100 * LOW} %; level off by ${per(guess.off, guess.count, 1)} kg of ${per(guess.was, guess.count, 1)}, thought / was ${per(guess.thought, guess.was, 2)}`,
      ].join('\n'),
    );
  }
