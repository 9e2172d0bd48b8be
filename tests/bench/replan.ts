/**
 * From a happening to a draft: `npm run bench replan -- [--sites 60,1000]`. A van breaks down in a published week; the
 * dangers are looked for, the plan is mended and checked. CPU seconds of this process, one thread, three towns a size;
 * beside it how many other sites get another day. The draft must be there within 2 s for 60 sites, 10 s for 1,000.
 */
import { parseArgs } from 'node:util';
import { checkPlan } from '../../src/core/planning/check.ts';
import { comparePlans } from '../../src/core/planning/compare-plans.ts';
import { dangersOf } from '../../src/core/planning/danger.ts';
import { planWeek } from '../../src/core/planning/plan-week.ts';
import { quoteCollection } from '../../src/core/planning/quote.ts';
import { at, randomTown } from '../fixtures/planning-problems.ts';

const { values } = parseArgs({ options: { sites: { type: 'string', default: '60,1000' } } });
const ITERATIONS = 600;

const cpuS = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};
const timed = <T>(work: () => T): { readonly value: T; readonly s: string } => {
  const startS = cpuS();
  const value = work();
  return { value, s: (cpuS() - startS).toFixed(2) };
};

for (const sites of values.sites.split(',').map(Number))
  for (const seed of [1, 2, 3]) {
    const town = randomTown(seed, {
      sites,
      days: 7,
      vans: Math.max(2, Math.ceil(sites / 60)),
      promised: 0.1,
      usual: 0.1,
      radiusM: 9000 * Math.sqrt(sites / 60),
    });
    const told = planWeek(town, { seed, iterations: 4 * sites });
    const published = told.rounds.flatMap(({ shiftId, day, stops }) =>
      stops.flatMap(({ siteId, startAt }) =>
        siteId === undefined ? [] : { siteId, shiftId, startAt, dayIndex: town.days.indexOf(day) },
      ),
    );
    const lost = told.rounds[Math.floor(told.rounds.length / 2)]!;
    const shifts = town.shifts.filter(({ shiftId }) => shiftId !== lost.shiftId);
    const facts = { ...town, shifts, published };
    const siteIds = lost.stops.flatMap(({ siteId }) => siteId ?? []);
    const look = timed(() => dangersOf(facts, told, new Set(siteIds)));
    const mend = timed(() =>
      planWeek(facts, { seed: 1, iterations: ITERATIONS }, { mend: { told, siteIds } }),
    );
    const check = timed(() => checkPlan(facts, mend.value));
    const { changedDaySiteIds } = comparePlans(told, mend.value);
    const others = changedDaySiteIds.filter((siteId) => !siteIds.includes(siteId)).length;
    const quote = timed(() =>
      quoteCollection({ ...town, published }, told, {
        siteId: town.sites[0]!.siteId,
        window: { fromAt: at(1, 0), untilAt: at(5, 0) },
        surge: { eventKind: 'festival', startsAt: at(0, 20), endsAt: at(0, 21), expectedKg: 10 },
      }),
    );
    console.log(
      `${sites} sites, town ${seed}: ${siteIds.length} stops lose their van; dangers ${look.s} s, draft ${mend.s} s, ` +
        `check ${check.s} s (${check.value.length} faults), ${others} others another day; a quote ${quote.s} s`,
    );
  }
