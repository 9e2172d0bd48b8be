import type { Change } from '../core/planning/changes.ts';
import { MONEY_PARTS } from '../core/planning/plan.ts';
import type { WeekFigures } from '../core/planning/week-figures.ts';
import type { Db } from '../store/db.ts';
import { keepChanges } from '../usecases/change-plan.ts';
import type { Context } from '../usecases/context.ts';
import { planToShow } from '../usecases/plan-to-show.ts';
import { askWhatIf, type WhatIfAnswer } from '../usecases/what-if.ts';
import { answerJson } from '../web/api/change-json.ts';
import {
  brokenPromiseWords,
  changeWords,
  consequenceWords,
  obstacleWords,
  signedMoney,
} from '../web/shared/change-words.ts';
import { dayShort, duration, kg, km, money, number, plainSpaces } from '../web/shared/format.ts';
import { type Names, readNames } from '../web/shared/names.ts';
import { REFUSAL_WORDS } from '../web/shared/refusal-words.ts';
import { MONEY_WORDS } from '../web/shared/words.ts';
import { readChanges } from './change-grammar.ts';
import { type Command, DATABASE, JSON_OUTPUT, Refusal } from './command.ts';
import { textTable } from './text-table.ts';
import { say, withDatabase } from './workplace.ts';

export const whatIf: Command = {
  name: 'what-if',
  usage: 'CHANGE [then CHANGE …] [--plan ID] [--keep [--break-promises]] [--json]',
  summary: 'Says what would follow if the plan were changed by hand, and keeps the change if asked to.',
  details: `A change is one of
  skip SITE DAY                                   leave the stop out
  add SITE DAY [shift=SHIFT] [place=N]            visit the site on that day
  move SITE DAY [to=DAY] [shift=SHIFT] [place=N]  to another day, another van, another place in the round
  pin SITE DAY, unpin SITE DAY                    later planning runs leave it on its day, or may move it again
  swap-drivers SHIFT SHIFT                        two drivers change places
with the keys of your tables: move corner-shop 2026-06-16 to=2026-06-18 then pin corner-shop 2026-06-18`,
  options: [
    DATABASE,
    { name: 'plan', value: 'ID', about: 'Which plan. Default: the newest draft, or what is published.' },
    { name: 'keep', about: 'Keep the changed plan as a draft.' },
    { name: 'break-promises', about: 'Keep it although it breaks promises.' },
    JSON_OUTPUT,
  ],
  run: (words) =>
    withDatabase(words, { mayCreate: false }, (context) => {
      const { store } = context;
      const changes = readChanges(store, words.positionals);
      const planId = words.text('plan') ?? planToShow(store)?.id;
      if (planId === undefined) throw new Refusal('There is no plan yet. Make one with feedround plan.');
      const asked = askWhatIf(context, { planId, changes });
      if (!asked.ok) throw refused(asked.refusal, changes, store);
      const names = readNames(store);
      if (words.isOn('json')) say(JSON.stringify(answerJson(asked.value, changes, names), null, 2));
      else say(plainSpaces(report(asked.value, changes, names)));
      if (!words.isOn('keep')) return asked.value.consequences.obstacles.length === 0 ? 0 : 1;
      keep(context, planId, changes, words.isOn('break-promises'));
      return 0;
    }),
};

function keep(context: Context, planId: string, changes: readonly Change[], breaksPromises: boolean): void {
  const factId = context.newId();
  const kept = keepChanges(context, { factId, planId, changes, breaksPromises, actor: 'command-line' });
  if (!kept.ok) throw refused(kept.refusal, changes, context.store);
  // Beside the answer, so that --json stays one document.
  process.stderr.write(`Kept as the draft ${kept.value.planId}. Nobody is told before it is published.\n`);
}

function refused(
  refusal: { readonly kind: string; readonly change?: number },
  changes: readonly Change[],
  db: Db,
): Refusal {
  const detail = COMMAND_WORDS[refusal.kind] ?? REFUSAL_WORDS[refusal.kind]?.detail ?? refusal.kind;
  const change = refusal.change === undefined ? undefined : changes[refusal.change];
  return new Refusal(plainSpaces(change ? `${changeWords(change, readNames(db))}: ${detail}` : detail));
}

/** Where the words for programs would not help at a terminal. */
const COMMAND_WORDS: { readonly [kind: string]: string } = {
  'plan-replaced':
    'Another plan was published in the place of this one. Leave --plan out to change that one.',
  'changed-meanwhile':
    'This is not the newest plan, so nothing was kept. Leave --plan out to change the newest.',
  'not-feasible': 'It cannot be driven, so nothing was kept.',
  'breaks-promises':
    'It would break promises, so nothing was kept. Talk to the donors, then add --break-promises.',
};

function report({ consequences, lost }: WhatIfAnswer, changes: readonly Change[], names: Names): string {
  const { obstacles, brokenPromises, before, after } = consequences;
  return [
    ...changes.map((change) => `${changeWords(change, names)}.`),
    '',
    ...(obstacles.length > 0 ? ['This cannot be driven:'] : []),
    ...obstacles.map((one) => `  ${obstacleWords(one, names)}`),
    ...consequenceWords(consequences, names),
    ...brokenPromises.map((one) => brokenPromiseWords(one, names)),
    ...lost.map(
      ({ siteId, day }) =>
        `${names.of('site', siteId)} on ${dayShort(day)} cannot be driven as planned on the facts of now.`,
    ),
    ...(after ? ['', moneyTable(before, after, names.currency), '', dayTable(before, after)] : []),
  ].join('\n');
}

const LEFT = { align: 'left' } as const;
const RIGHT = { align: 'right' } as const;

function moneyTable(before: WeekFigures, after: WeekFigures, currency: string): string {
  const row = (name: string, was: number, is: number): string[] => [
    name,
    money(was, currency),
    money(is, currency),
    signedMoney(is - was, currency),
  ];
  return table(
    [
      { head: 'Money', ...LEFT },
      { head: 'before', ...RIGHT },
      { head: 'after', ...RIGHT },
      { head: 'difference', ...RIGHT },
    ],
    [
      ...MONEY_PARTS.filter((part) => before.money[part] !== 0 || after.money[part] !== 0).map((part) =>
        row(MONEY_WORDS[part].name, before.money[part], after.money[part]),
      ),
      row('In all', before.costMicros, after.costMicros),
    ],
  );
}

function dayTable(before: WeekFigures, after: WeekFigures): string {
  const turned = (was: string, is: string): string => (was === is ? is : `${was} → ${is}`);
  return table(
    [
      { head: 'Day', ...LEFT },
      { head: 'stops', ...RIGHT },
      { head: 'driving', ...RIGHT },
      { head: 'hours away', ...RIGHT },
      { head: 'film', ...RIGHT },
    ],
    after.days.map((is, i) => {
      const was = before.days[i]!;
      return [
        dayShort(is.day),
        turned(number(was.stops), number(is.stops)),
        turned(km(was.distanceM), km(is.distanceM)),
        turned(duration(was.durationS), duration(is.durationS)),
        turned(kg(was.expectedKg), kg(is.expectedKg)),
      ];
    }),
  );
}

/** Signs that take no room are taken out before columns are counted. */
const table = (columns: Parameters<typeof textTable>[0], rows: readonly (readonly string[])[]): string =>
  textTable(
    columns,
    rows.map((row) => row.map(plainSpaces)),
  );
