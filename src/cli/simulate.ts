import { setImmediate } from 'node:timers/promises';
import { USUAL_PLANNER } from '../core/simulation/planner-policy.ts';
import { POLICY_NAMES, type PolicyName } from '../core/simulation/policies.ts';
import { compareYears, type Estimate, type Figure } from '../core/simulation/report.ts';
import { runYears } from '../core/simulation/run-years.ts';
import { USUAL_WORLD, WORLD_CURRENCY } from '../core/simulation/world.ts';
import { number, percent, plainSpaces } from '../web/shared/format.ts';
import { type Command, JSON_OUTPUT, UsageError, type Words } from './command.ts';
import { textTable } from './text-table.ts';
import { progressLine, say } from './workplace.ts';

export const simulate: Command = {
  name: 'simulate',
  usage: '[--policy P] [--weeks N] [--seed N] [--seeds N] [--donors N] [--iterations N] [--json]',
  summary:
    'Drives a drawn workshop through a year under the planner and under rules of thumb, and compares what each costs.',
  details:
    'The worlds are drawn from the seed; every policy meets the same year, with hidden true rates, events, missed stops and donors who call. Policies: planner; fixed (the same round every week); call (fetch whoever called); fullest (fullest first, as far as the shift goes); nearest (nearest of those full enough); all. Several with commas. The first weeks are for learning and not scored. Intervals are 95 % over the worlds, of ratios with worlds in pairs. Ctrl-C ends it with the years that are done.\n\nKeys of --json: weeks, donors, iterations, currency (ISO 4217), isStopped; reports, one a policy: policy, seeds, figures (each mean, low, high); comparisons, each policy against each other: policy, against, worlds, ratios (of the means; null where the other has none), ratioEstimates (the same as mean, low, high), lessIn (worlds in which it needs less); years, one a world and policy: seed, policy, scoredDays and the sums of the scored days in kg, m, s and millionths of the currency. Figures: kmPerTonne, hoursPerTonne, moneyPerTonne (per tonne collected), storeMoneyPerTonne (of it, what a full store cost), overflowDays (site-days on which film was lost), overflowEvents, lostKg, lostShare, shortDays (grade-days on which production bought), boughtInKg, avoidableKg (of it, what fetching all film on its day would have saved), shortShare, collectedKg, stops, calls, changesPerVisit.',
  options: [
    { name: 'policy', value: 'P', about: 'Which policies. Default: all.' },
    { name: 'weeks', value: 'N', about: 'How many weeks. Default: 52.' },
    { name: 'seed', value: 'N', about: 'Seed of the first world. Default: 1.' },
    { name: 'seeds', value: 'N', about: 'How many worlds, with seeds in a row. Default: 1.' },
    { name: 'donors', value: 'N', about: `How many donors. Default: ${USUAL_WORLD.donors}.` },
    {
      name: 'iterations',
      value: 'N',
      about: `How long the planner searches each morning. Default: ${USUAL_PLANNER.iterations}.`,
    },
    JSON_OUTPUT,
  ],
  maxWords: 0,
  async run(words) {
    const policies = policiesOf(words);
    const weeks = words.whole('weeks', { min: 1, max: 520, fallback: 52 });
    const seed = words.whole('seed', { min: 0, max: 2 ** 31 - 1, fallback: 1 });
    const seeds = words.whole('seeds', { min: 1, max: 1000, fallback: 1 });
    const donors = words.whole('donors', { min: 1, max: 1000, fallback: USUAL_WORLD.donors });
    const iterations = words.whole('iterations', {
      min: 0,
      max: 1_000_000,
      fallback: USUAL_PLANNER.iterations,
    });
    const line = progressLine();
    let isAsked = false;
    const stop = (): void => {
      isAsked = true;
    };
    process.once('SIGINT', stop);
    const { years, isStopped } = await runYears(
      {
        seeds: Array.from({ length: seeds }, (_, k) => seed + k),
        policies,
        world: { ...USUAL_WORLD, weeks, donors },
        planner: { ...USUAL_PLANNER, iterations },
      },
      {
        progress: async ({ world, worlds, policy, weeksDone, share }) => {
          line.show(
            `world ${world + 1} of ${worlds}, ${policy}, week ${weeksDone} of ${weeks}, ${percent(share)} of all`,
          );
          // Lets Ctrl-C in.
          await setImmediate();
        },
        isStopped: () => isAsked,
      },
    ).finally(() => {
      process.off('SIGINT', stop);
      line.clear();
    });
    const compared = compareYears(years);
    if (words.isOn('json'))
      say(
        JSON.stringify(
          { weeks, donors, iterations, currency: WORLD_CURRENCY, isStopped, ...compared, years },
          null,
          2,
        ),
      );
    else print(compared);
    if (isStopped) process.stderr.write('Stopped; these are the years that were done.\n');
    return isStopped ? 1 : 0;
  },
};

function policiesOf(words: Words): PolicyName[] {
  const text = words.text('policy') ?? 'all';
  if (text === 'all') return [...POLICY_NAMES];
  return text.split(',').map((name) => {
    const known = POLICY_NAMES.find((policy) => policy === name);
    if (!known) throw new UsageError(`--policy takes ${POLICY_NAMES.join(', ')} or all, not "${name}".`);
    return known;
  });
}

const COLUMNS: readonly (readonly [Figure, string, number, 0 | 1 | 2])[] = [
  ['kmPerTonne', 'km/t', 1, 0],
  ['hoursPerTonne', 'h/t', 1, 1],
  ['moneyPerTonne', `${WORLD_CURRENCY}/t`, 1, 0],
  ['storeMoneyPerTonne', 'of it store', 1, 0],
  ['overflowDays', 'overflow days', 1, 0],
  ['lostShare', 'lost %', 100, 1],
  ['shortDays', 'short days', 1, 0],
  ['boughtInKg', 'bought in kg', 1, 0],
  ['avoidableKg', 'of it avoidable', 1, 0],
  ['changesPerVisit', 'changes/visit', 1, 2],
];

function print({ reports, comparisons }: ReturnType<typeof compareYears>): void {
  if (reports.length === 0) return;
  const cell = ({ mean, low, high }: Estimate, times: number, digits: 0 | 1 | 2): string =>
    low === undefined || high === undefined
      ? number(mean * times, digits)
      : `${number(mean * times, digits)} ±${number(((high - low) / 2) * times, digits)}`;
  say(
    `${reports[0]!.seeds.length} world(s), a simulated workshop and not yours; means, with 95 % intervals where there are several.`,
  );
  say(
    plainSpaces(
      textTable(
        [{ head: 'policy' }, ...COLUMNS.map(([, head]) => ({ head, align: 'right' as const }))],
        reports.map(({ policy, figures }) => [
          policy,
          ...COLUMNS.map(([figure, , times, digits]) => cell(figures[figure], times, digits)),
        ]),
      ),
    ),
  );
  for (const { policy, against, ratioEstimates, lessIn, worlds } of comparisons) {
    if (policy !== 'planner') continue;
    const ratio = (figure: Figure): string => {
      const estimate = ratioEstimates[figure];
      if (!estimate) return 'none at the other';
      const { mean, low, high } = estimate;
      const interval =
        low === undefined || high === undefined ? '' : `${number(low, 2)} to ${number(high, 2)}, `;
      return `${number(mean, 2)} (${interval}less in ${lessIn[figure]} of ${worlds})`;
    };
    const parts = RATIOS.map(([figure, name]) => `${name} ${ratio(figure)}`);
    say(plainSpaces(`planner against ${against}: ${parts.join('; ')}.`));
  }
}

const RATIOS: readonly (readonly [Figure, string])[] = [
  ['kmPerTonne', 'km/t'],
  ['moneyPerTonne', `${WORLD_CURRENCY}/t`],
  ['overflowDays', 'overflow days'],
  ['boughtInKg', 'bought in'],
  ['avoidableKg', 'of it avoidable'],
];
