/**
 * How long a person waits for "what if": `npm run bench what-if -- [--sites 60,500] [--days N] [--json]`.
 * CPU time of this process on drawn towns (days of one van for 60 sites), and on the demo's own database the whole way
 * from the stored plan to the answer. In the towns the plan is laid out for each question; the interface does that once
 * and answers the next ones from it ("again").
 */
import { parseArgs } from 'node:util';
import { type Change, NO_WISHES } from '../../src/core/planning/changes.ts';
import { checkPlan } from '../../src/core/planning/check.ts';
import { planWeek } from '../../src/core/planning/plan-week.ts';
import { whatIf } from '../../src/core/planning/what-if.ts';
import { seededRandom } from '../../src/core/quantity/random.ts';
import { planToShow } from '../../src/usecases/plan-to-show.ts';
import { planWeek as planDemo } from '../../src/usecases/plan-week.ts';
import { askWhatIf } from '../../src/usecases/what-if.ts';
import { openDemo, planInPlace } from '../fixtures/demo-app.ts';
import { randomTown } from '../fixtures/planning-problems.ts';

const { values } = parseArgs({
  options: {
    sites: { type: 'string', default: '60,500' },
    days: { type: 'string', default: '7' },
    json: { type: 'boolean', default: false },
  },
});
const days = Number(values.days);
const QUESTIONS = 40;

const cpuMs = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};
function timed<T>(work: () => T): { readonly ms: number; readonly value: T } {
  const from = cpuMs();
  const value = work();
  return { ms: cpuMs() - from, value };
}
const quantile = (all: readonly number[], p: number): number =>
  [...all].sort((a, b) => a - b)[Math.min(all.length - 1, Math.floor(p * all.length))] ?? 0;
const spread = (all: readonly number[]) => ({
  median: Math.round(quantile(all, 0.5) * 10) / 10,
  p95: Math.round(quantile(all, 0.95) * 10) / 10,
});

function measureTown(sites: number) {
  const vans = Math.ceil(sites / 60);
  const town = randomTown(1, {
    sites,
    days,
    vans,
    promised: 0.1,
    usual: 0.1,
    radiusM: 9000 * Math.sqrt(sites / 60),
  });
  const plan = planWeek(town, { seed: 1, iterations: 8 * sites });
  const random = seededRandom(1);
  const stops = plan.rounds.flatMap((round) =>
    round.stops.flatMap(({ siteId }) => (siteId ? [{ siteId, day: round.day }] : [])),
  );
  const draw = (): Change => {
    const stop = stops[random.below(stops.length)]!;
    const toDay = town.days[random.below(days)]!;
    const kinds: Change[] = [
      { kind: 'skip', ...stop },
      { kind: 'move', ...stop, toDay },
      { kind: 'move', ...stop, toDay, position: 1 + random.below(8) },
      { kind: 'pin', ...stop },
    ];
    return kinds[random.below(kinds.length)]!;
  };
  whatIf(town, plan, NO_WISHES).ask([draw()]); // warm
  const again: number[] = [];
  const laid = whatIf(town, plan, NO_WISHES);
  const one: number[] = [];
  const five: number[] = [];
  const keep: number[] = [];
  const check: number[] = [];
  for (let i = 0; i < QUESTIONS; i++) {
    const change = draw();
    const asked = timed(() => whatIf(town, plan, NO_WISHES).ask([change]));
    one.push(asked.ms);
    if (change.kind !== 'pin') again.push(timed(() => laid.ask([change])).ms);
    const list = Array.from({ length: 5 }, draw);
    five.push(timed(() => whatIf(town, plan, NO_WISHES).ask(list)).ms);
    const answer = asked.value;
    if (!answer.ok || answer.value.consequences.obstacles.length > 0 || keep.length >= 5) continue;
    const made = timed(answer.value.plan);
    keep.push(made.ms);
    check.push(timed(() => checkPlan(answer.value.problem, made.value)).ms);
  }
  return {
    sites,
    one: spread(one),
    again: spread(again),
    five: spread(five),
    keep: spread(keep),
    check: spread(check),
  };
}

async function measureDemo() {
  const { context, close } = await openDemo();
  await planDemo(context, planInPlace, { seed: 1, iterations: 500, actor: 'bench' });
  const { id, plan } = planToShow(context.store)!;
  const stops = plan.rounds.flatMap((round) =>
    round.stops.flatMap(({ siteId }) => (siteId ? [{ siteId, day: round.day }] : [])),
  );
  const asked = stops.slice(0, QUESTIONS).map((stop) => {
    const changes = [{ kind: 'skip', ...stop } as const];
    return timed(() => askWhatIf(context, { planId: id, changes })).ms;
  });
  close();
  return { sites: 43, one: spread(asked.slice(1)) };
}

const towns = values.sites.split(',').map((sites) => measureTown(Number(sites)));
const demo = await measureDemo();
if (values.json) console.log(JSON.stringify({ towns, demo }));
else {
  const ms = ({ median, p95 }: { median: number; p95: number }): string => `${median} (${p95}) ms`;
  console.log('CPU time, median (95th percentile)');
  for (const { sites, one, again, five, keep, check } of towns)
    console.log(
      `${sites} sites: one change ${ms(one)}, again ${ms(again)}, five ${ms(five)}; the changed plan ${ms(keep)}, its check ${ms(check)}`,
    );
  console.log(`demo, from the database: ${ms(demo.one)}`);
}
