import { keepWorth } from '../jobs/keep-worth.ts';
import { yearsInPlace } from '../jobs/years-in-place.ts';
import { requireWorkshop } from '../store/workshop.ts';
import { getWorthRun } from '../store/worth-runs.ts';
import { compareWorth, WORTH_FIGURES, type WorthComparison } from '../usecases/compare-worth.ts';
import { duration, percent, plainSpaces } from '../web/shared/format.ts';
import {
  differenceWords,
  FIGURE_WORDS,
  figureAmount,
  intervalOf,
  notBetter,
  POLICY_WORDS,
  worthVerdict,
} from '../web/shared/worth-words.ts';
import { type Command, DATABASE, JSON_OUTPUT, Refusal } from './command.ts';
import { textTable } from './text-table.ts';
import { progressLine, say, withDatabase } from './workplace.ts';

const REFUSED = {
  'no-sites': 'At least three sites must be in the register before their years can be drawn.',
  'no-shifts':
    'No shift stands within four weeks from today. Import shifts first (feedround import shifts FILE).',
  'already-running': 'Years are being simulated already.',
} as const;

export const worth: Command = {
  name: 'worth',
  usage: '[--worlds N] [--weeks N] [--json]',
  summary: 'Simulates years of a workshop of your size: what the planner is worth against rules of thumb.',
  details:
    'Sites, vans, prices and production are your own; where sites lie and how film comes is drawn anew in each world, the same for every rule. The result is kept and shown on the page Worth. Ctrl-C ends it with the worlds that are whole.',
  options: [
    DATABASE,
    { name: 'worlds', value: 'N', about: 'How many drawn years. Default: 3.' },
    { name: 'weeks', value: 'N', about: 'Length of each. Default: 52.' },
    JSON_OUTPUT,
  ],
  maxWords: 0,
  run: (words) =>
    withDatabase(words, { mayCreate: false }, async (context) => {
      const { store } = context;
      const size = {
        worlds: words.whole('worlds', { min: 1, max: 50, fallback: 3 }),
        weeks: words.whole('weeks', { min: 16, max: 104, fallback: 52 }),
      };
      const line = progressLine();
      let fault: unknown;
      const keeper = keepWorth(context, yearsInPlace, (error) => {
        fault = error;
      });
      const started = keeper.start({ ...size, actor: 'command-line' });
      if (!started.ok) throw new Refusal(REFUSED[started.refusal.kind]);
      const stop = (): void => void keeper.stopRun();
      process.once('SIGINT', stop);
      const timer = setInterval(() => {
        const running = keeper.running();
        if (running)
          line.show(`${percent(running.progress?.share ?? 0)} done, ${duration(running.forS)} so far`);
      }, 1000);
      try {
        await keeper.ended();
      } finally {
        clearInterval(timer);
        process.off('SIGINT', stop);
        line.clear();
      }
      if (fault) throw fault;
      const run = getWorthRun(store, started.value.runId);
      if (!run) throw new Refusal('Stopped before the first world was whole; nothing was kept.');
      const comparison = compareWorth(run);
      if (words.isOn('json')) say(JSON.stringify({ ...run, comparison }, null, 2));
      else say(plainSpaces(textOf(comparison, requireWorkshop(store).currency)));
      return run.outcome === 'done' ? 0 : 1;
    }),
};

function textOf(comparison: WorthComparison, currency: string): string {
  const figures = textTable(
    [{ head: 'a year' }, ...WORTH_FIGURES.map((figure) => ({ head: FIGURE_WORDS[figure].name }))],
    comparison.policies.map(({ policy, figures: of }) => [
      POLICY_WORDS[policy].name,
      ...WORTH_FIGURES.map((figure) => {
        const range = intervalOf(figure, of[figure], currency);
        return `${figureAmount(figure, of[figure].mean, currency)}${range && ` (${range})`}`;
      }),
    ]),
  );
  const rules = comparison.rules.map(
    (one) =>
      `Against "${POLICY_WORDS[one.rule].name}": ${(
        ['moneyMicros', 'kmPerTonne', 'overflowDays', 'boughtInKg'] as const
      )
        .map(
          (figure) => `${FIGURE_WORDS[figure].name.toLowerCase()} ${differenceWords(figure, one, currency)}`,
        )
        .join('; ')}.`,
  );
  const faults = notBetter(comparison, currency).filter(({ standing }) => standing === 'more');
  return [
    worthVerdict(comparison, currency),
    figures,
    rules.join('\n'),
    faults.length === 0
      ? 'It is nowhere worse for sure.'
      : ['Where it is not better:', ...faults.map(({ text }) => `- ${text}.`)].join('\n'),
  ].join('\n\n');
}
