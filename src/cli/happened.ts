import { type Field, WANTED } from '../usecases/happened/fields.ts';
import { HAPPENING_KINDS, HAPPENINGS, type HappeningKind } from '../usecases/happened/kinds.ts';
import { tell } from '../usecases/happened/tell.ts';
import { REFUSAL_WORDS } from '../web/shared/refusal-words.ts';
import { type Command, DATABASE, Refusal, UsageError } from './command.ts';
import { say, withDatabase } from './workplace.ts';

export const happened: Command = {
  name: 'happened',
  usage: 'KIND [NAME=VALUE …] [--key KEY]',
  summary: 'Says that something happened: a van off the road, a surge, a delivery at the door and so on.',
  details: `Kinds: ${HAPPENING_KINDS.join(', ')}. A kind alone says which facts it wants. With --key the same call twice is one fact.`,
  options: [
    DATABASE,
    { name: 'key', value: 'KEY', about: 'an own key of this fact: told again, it has happened once' },
  ],
  run: (words) =>
    withDatabase(words, { mayCreate: false }, (context) => {
      const [kind, ...pairs] = words.positionals;
      if (!isKind(kind)) throw new UsageError(`Which kind? There are ${HAPPENING_KINDS.join(', ')}.`);
      if (pairs.length === 0) {
        say(wantedBy(kind));
        return 0;
      }
      const key = words.text('key');
      if (key !== undefined && !/^[A-Za-z0-9_-]{1,64}$/.test(key))
        throw new UsageError('A key has 1 to 64 letters, digits, - or _.');
      const factId = key ?? context.newId();
      const told = tell(context, kind, Object.fromEntries(pairs.map(pairOf)), {
        factId,
        actor: 'command-line',
      });
      if (told.ok) {
        say(told.value.id);
        return 0;
      }
      if (told.refusal.kind === 'refused')
        throw new Refusal(REFUSAL_WORDS[told.refusal.refusal.kind]?.detail ?? told.refusal.refusal.kind);
      const faults = Object.entries(told.refusal.faults).map(([name, fault]) => `${name} ${fault}.`);
      throw new Refusal([...faults, '', wantedBy(kind)].join('\n'));
    }),
};

const isKind = (text: string | undefined): text is HappeningKind =>
  HAPPENING_KINDS.some((kind) => kind === text);

function pairOf(pair: string): [string, string] {
  const cut = pair.indexOf('=');
  if (cut < 1) throw new UsageError(`"${pair}" is no fact. Write it as name=value, such as van=van-1.`);
  return [pair.slice(0, cut), pair.slice(cut + 1)];
}

function wantedBy(kind: HappeningKind): string {
  const fields: [string, Field][] = Object.entries(HAPPENINGS[kind].fields);
  const lines = fields.map(
    ([name, { type, isOptional }]) => `  ${name}: ${WANTED[type]}${isOptional ? ' (may be left out)' : ''}`,
  );
  return [`${kind} wants`, ...lines].join('\n');
}
