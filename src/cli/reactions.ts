import { listWaiting, type Parked } from '../store/reactions.ts';
import { setReactionAside, tryReactionAgain } from '../usecases/react.ts';
import { dateTime, plainSpaces } from '../web/shared/format.ts';
import { entryWords } from '../web/shared/journal-words.ts';
import { type Names, readNames } from '../web/shared/names.ts';
import { type Command, DATABASE, JSON_OUTPUT, Refusal, UsageError } from './command.ts';
import { textTable } from './text-table.ts';
import { say, withDatabase } from './workplace.ts';

export const reactions: Command = {
  name: 'reactions',
  usage: '[retry REACTION NUMBER | aside REACTION NUMBER] [--json]',
  summary:
    'Lists what should follow from the journal and could not yet, and has it tried again or set aside.',
  details:
    'A reaction that fails is tried again, later and later; after twelve times it waits for you. retry has it tried at once by the server; aside leaves it out, and what waited behind it goes on.',
  options: [DATABASE, JSON_OUTPUT],
  maxWords: 3,
  run: (words) =>
    withDatabase(words, { mayCreate: false }, (context) => {
      const [what, reaction = '', number] = words.positionals;
      if (what === undefined) {
        const waiting = listWaiting(context.store);
        if (words.isOn('json')) say(JSON.stringify(waiting, null, 2));
        else say(waiting.length === 0 ? 'Nothing waits.' : tableOf(waiting, readNames(context.store)));
        return 0;
      }
      const decide = what === 'retry' ? tryReactionAgain : what === 'aside' ? setReactionAside : undefined;
      if (!decide) throw new UsageError(`reactions ${what}: there are retry and aside.`);
      const decided = decide(context, { reaction, seq: Number(number), actor: 'command-line' });
      if (!decided.ok)
        throw new Refusal(
          `Entry ${number ?? '?'} does not wait for "${reaction}". feedround reactions lists what does.`,
        );
      say(what === 'retry' ? 'It is tried again as soon as the server looks.' : 'Set aside.');
      return 0;
    }),
};

const tableOf = (waiting: readonly Parked[], names: Names): string =>
  plainSpaces(
    textTable(
      [
        { head: 'reaction' },
        { head: 'entry', align: 'right' },
        { head: 'what happened' },
        { head: 'tries', align: 'right' },
        { head: 'next' },
        { head: 'why' },
      ],
      waiting.map((row) => [
        row.reaction,
        String(row.seq),
        entryWords(row, names),
        String(row.attempts),
        row.attempts === 0
          ? 'behind another'
          : row.nextAt === null
            ? 'given up'
            : dateTime(row.nextAt, names.zone),
        row.error,
      ]),
    ),
  );
