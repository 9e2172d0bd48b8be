import { requireWorkshop } from '../store/workshop.ts';
import { changeObjective, readObjective, SETTING_KEYS } from '../usecases/change-objective.ts';
import { plainSpaces } from '../web/shared/format.ts';
import { measureOf, objectiveFault, storedOf, typedOf, unitOf } from '../web/shared/objective-amounts.ts';
import { REGISTER_WORDS, SETTING_WORDS } from '../web/shared/objective-words.ts';
import { type Command, DATABASE, JSON_OUTPUT, Refusal, UsageError } from './command.ts';
import { textTable } from './text-table.ts';
import { say, withDatabase } from './workplace.ts';

export const settings: Command = {
  name: 'settings',
  usage: '[KEY=VALUE …] [--json]',
  summary: 'What a plan is weighed by: every price and weight, its default, and a way to change it.',
  details:
    'Without words it lists them. KEY=VALUE changes one, in the unit that the list shows (currency, minutes, per cent, days); KEY=default puts it back. All or nothing.',
  options: [DATABASE, JSON_OUTPUT],
  run: (words) =>
    withDatabase(words, { mayCreate: false }, (context) => {
      const { store } = context;
      const { currency } = requireWorkshop(store);
      const before = readObjective(store);
      const values = Object.fromEntries(
        words.positionals.map((word) => {
          const [key = '', text] = word.split('=', 2);
          if (text === undefined) throw new UsageError(`"${word}" is no KEY=VALUE.`);
          const setting = SETTING_KEYS.find((one) => one === key);
          if (text === 'default' && setting) return [key, before.defaults[setting]];
          const shown = Number(text.replace(',', '.'));
          if (text.trim() === '' || !Number.isFinite(shown))
            throw new UsageError(`"${text}" in "${word}" is no number.`);
          return [key, storedOf(measureOf(key), shown)];
        }),
      );
      const done = changeObjective(context, { values, actor: 'command-line' });
      if (!done.ok)
        throw new Refusal(
          done.refusal.kind === 'not-valid'
            ? done.refusal.faults
                .map((fault) => `${fault.key}: ${objectiveFault(fault, currency)}`)
                .join('\n')
            : 'Somebody changed the settings in the meantime. Try again.',
        );
      const after = readObjective(store);
      if (words.isOn('json')) say(JSON.stringify({ ...after, changed: done.value.changed }, null, 2));
      else say(plainSpaces(table(after, currency)));
      return 0;
    }),
};

function table({ settings, defaults, register }: ReturnType<typeof readObjective>, currency: string): string {
  const own = register.map(({ key, name, kind, micros }) => [
    key,
    typedOf(measureOf(key), micros),
    unitOf(measureOf(key), currency),
    '',
    `${name}: ${REGISTER_WORDS[kind].explains}`,
  ]);
  const rows = SETTING_KEYS.map((key) => [
    key,
    typedOf(measureOf(key), settings[key]),
    unitOf(measureOf(key), currency),
    typedOf(measureOf(key), defaults[key]),
    SETTING_WORDS[key].explains,
  ]);
  return textTable(
    [
      { head: 'key' },
      { head: 'value', align: 'right' },
      { head: 'unit' },
      { head: 'default', align: 'right' },
      { head: 'what it is' },
    ],
    [...own, ...rows],
  );
}
