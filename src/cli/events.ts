import { type Entry, readEntriesAfter } from '../store/journal.ts';
import type { Context } from '../usecases/context.ts';
import { dateTime, plainSpaces } from '../web/shared/format.ts';
import { actorWords, entryWords } from '../web/shared/journal-words.ts';
import { readNames } from '../web/shared/names.ts';
import { type Command, DATABASE } from './command.ts';
import { say, withDatabase } from './workplace.ts';

const LOOK_EVERY_MS = 500;
const PAGE = 500;

export const events: Command = {
  name: 'events',
  usage: '[--after NUMBER] [--follow] [--json]',
  summary: 'Prints the journal in words: what happened, when, and who said so.',
  details:
    'Each line begins with its number. --after 120 goes on behind entry 120; --follow waits for what comes, until Ctrl-C. --json prints whole entries, one a line.',
  options: [
    DATABASE,
    { name: 'after', value: 'NUMBER', about: 'only entries behind this one' },
    { name: 'follow', about: 'wait for what comes' },
    { name: 'json', about: 'whole entries, one JSON object a line' },
  ],
  maxWords: 0,
  run: (words) =>
    withDatabase(words, { mayCreate: false }, async (context) => {
      let after = words.whole('after', { min: 0, max: Number.MAX_SAFE_INTEGER, fallback: 0 });
      const print = words.isOn('json') ? asJson : inWords(context);
      const printNew = (): void => {
        for (let page = readEntriesAfter(context.store, after, PAGE); page.length > 0; ) {
          for (const entry of page) say(print(entry));
          after = page.at(-1)!.seq;
          page = readEntriesAfter(context.store, after, PAGE);
        }
      };
      if (words.isOn('follow')) await untilStopped(printNew);
      else printNew();
      return 0;
    }),
};

const asJson = (entry: Entry): string => JSON.stringify(entry);
const inWords = ({ store }: Context) => {
  return (entry: Entry): string => {
    // Read anew for each: a name may be younger than the command.
    const names = readNames(store);
    const who = actorWords(entry.actor, names);
    return plainSpaces(
      `${entry.seq}  ${dateTime(entry.at, names.zone)}  ${entryWords(entry, names)} (${who})`,
    );
  };
};

/** Looks again and again, as other processes write. Ends after Ctrl-C, heard from the first line on. */
function untilStopped(look: () => void): Promise<void> {
  return new Promise((ended, failed) => {
    const tryLook = (): void => {
      try {
        look();
      } catch (error) {
        clearInterval(timer);
        failed(error as Error);
      }
    };
    const timer = setInterval(tryLook, LOOK_EVERY_MS);
    const end = (): void => {
      clearInterval(timer);
      ended();
    };
    process.once('SIGINT', end);
    process.once('SIGTERM', end);
    tryLook();
  });
}
