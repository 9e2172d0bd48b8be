import { isDay, localOf } from '../core/calendar/zone.ts';
import type { Plan } from '../core/planning/plan.ts';
import { planInThread } from '../jobs/plan-in-thread.ts';
import type { Db } from '../store/db.ts';
import { listDrivers } from '../store/drivers.ts';
import { listShifts } from '../store/shifts.ts';
import { listSites } from '../store/sites.ts';
import { listVans } from '../store/vans.ts';
import { requireWorkshop } from '../store/workshop.ts';
import type { Context, PlannerHooks } from '../usecases/context.ts';
import { fitEstimator } from '../usecases/fit-estimator.ts';
import { type PlannedWeek, planWeek } from '../usecases/plan-week.ts';
import { productionOutlook } from '../usecases/production-outlook.ts';
import { publishPlan } from '../usecases/publish-plan.ts';
import { money, number } from '../web/shared/format.ts';
import { type Command, DATABASE, JSON_OUTPUT, Refusal, UsageError, type Words } from './command.ts';
import { printPlan } from './print-plan.ts';
import { progressLine, readNames, say, withDatabase } from './workplace.ts';

export const plan: Command = {
  name: 'plan',
  usage: '[--days N] [--from DAY] [--seed N] [--iterations N | --seconds S] [--publish] [--json]',
  summary:
    'Plans the days ahead and keeps the plan as a draft: which sites, on which day, in which order, and why.',
  details:
    'The same facts, seed and iterations give the same plan, byte for byte. With --seconds the search ends by the clock instead. Ctrl-C ends it early with the best plan so far.',
  options: [
    DATABASE,
    { name: 'days', value: 'N', about: 'How many days. Default: the workshop’s own horizon.' },
    {
      name: 'from',
      value: 'DAY',
      about: 'First day, such as 2026-06-15. Default: today while a shift is to start, else tomorrow.',
    },
    { name: 'seed', value: 'N', about: 'Seed of the search. Default: 1.' },
    { name: 'iterations', value: 'N', about: 'How long to search. Default: the workshop’s own setting.' },
    { name: 'seconds', value: 'S', about: 'Search for so many seconds instead.' },
    { name: 'publish', about: 'Publish the plan at once: drivers follow it, donors see it.' },
    JSON_OUTPUT,
  ],
  maxWords: 0,
  run: (words) =>
    withDatabase(words, { mayCreate: false }, async (context) => {
      const planned = await planByWords(context, words);
      if (words.isOn('json')) say(JSON.stringify(withKeys(context.store, planned.plan), null, 2));
      else {
        const { plan: made, problem } = planned;
        const outlook = productionOutlook(context.store, context.now(), problem, made);
        say(printPlan(made, readNames(context.store), outlook));
      }
      if (words.isOn('publish')) publish(context, planned.planId);
      return 0;
    }),
};

export function publish(context: Context, planId: string): void {
  const published = publishPlan(context, { planId, actor: 'command-line' });
  if (!published.ok)
    throw new Refusal('The plan could not be published: somebody replaced it meanwhile. Plan again.');
}

/** Plans with progress on the terminal; Ctrl-C stops the search, not the command. */
export async function planByWords(context: Context, words: Words): Promise<PlannedWeek> {
  const days = words.whole('days', { min: 1, max: 28, fallback: 0 });
  const firstDay = words.text('from');
  if (firstDay !== undefined && !isDay(firstDay))
    throw new UsageError(`--from takes a day such as 2026-06-15, not "${firstDay}".`);
  const seconds =
    words.text('seconds') === undefined
      ? undefined
      : words.whole('seconds', { min: 1, max: 3600, fallback: 5 });
  const workshop = requireWorkshop(context.store);
  const iterations = words.whole('iterations', {
    min: 0,
    max: 10_000_000,
    fallback: seconds === undefined ? workshop.settings.searchIterations : 10_000_000,
  });
  const seed = words.whole('seed', { min: 0, max: 2 ** 31 - 1, fallback: 1 });
  const today = localOf(workshop.zone, context.now()).day;
  if (firstDay !== undefined && firstDay < today)
    warn(`${firstDay} is in the past (today is ${today}): nobody can drive this plan.`);
  const request = {
    seed,
    iterations,
    actor: 'command-line',
    ...(days === 0 ? {} : { days }),
    ...(firstDay === undefined ? {} : { firstDay }),
  };
  const planned = await planWithProgress(context, request, seconds);
  if (planned.problem.shifts.length === 0) {
    const { days: span } = planned.problem;
    warn(
      `No shift is on the road from ${span[0]} to ${span.at(-1)}, so the plan has no rounds. Add shifts (feedround import shifts FILE) or name another first day with --from.`,
    );
  }
  return planned;
}

/** Beside the plan, so that --json stays one object. */
const warn = (text: string): void => void process.stderr.write(`Note: ${text}\n`);

export async function planWithProgress(
  context: Context,
  request: Parameters<typeof planWeek>[2],
  seconds?: number,
): Promise<PlannedWeek> {
  const { currency } = readNames(context.store);
  const line = progressLine();
  const stop = new AbortController();
  const onInterrupt = (): void => stop.abort();
  process.once('SIGINT', onInterrupt);
  const hooks: PlannerHooks = {
    signal: stop.signal,
    onProgress: ({ iteration, costMicros }) =>
      line.show(
        `planning: ${number(iteration)} of ${number(request.iterations)} tries, best ${money(costMicros, currency)}`,
      ),
    ...(seconds === undefined ? {} : { seconds }),
  };
  try {
    line.show('fitting the estimates to the own history');
    fitEstimator(context, request.actor);
    return await planWeek(context, planInThread, request, hooks);
  } finally {
    process.off('SIGINT', onInterrupt);
    line.clear();
  }
}

/** The plan with the user's own keys instead of ids, which differ from database to database. */
export function withKeys(db: Db, planned: Plan): unknown {
  const keys = new Map([
    ...listSites(db).map((row) => [row.id, row.key] as const),
    ...listShifts(db).map((row) => [row.id, row.key] as const),
    ...listVans(db).map((row) => [row.id, row.key] as const),
    ...listDrivers(db).map((row) => [row.id, row.key] as const),
  ]);
  const NAMES: { readonly [id: string]: string } = {
    siteId: 'site',
    shiftId: 'shift',
    vanId: 'van',
    driverId: 'driver',
  };
  const renamed = (value: unknown): unknown => {
    if (Array.isArray(value)) return value.map(renamed);
    if (typeof value === 'string') return keys.get(value) ?? value;
    if (value === null || typeof value !== 'object') return value;
    return Object.fromEntries(
      Object.entries(value).map(([name, inner]) => [NAMES[name] ?? name, renamed(inner)]),
    );
  };
  return renamed(planned);
}
