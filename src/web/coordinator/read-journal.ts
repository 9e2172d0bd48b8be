/** Makes the views of the journal and of the outbox. */
import type { Db } from '../../store/db.ts';
import { readEntriesBefore } from '../../store/journal.ts';
import { listDoneWords, listUnsent, type StoredWord } from '../../store/outbox.ts';
import { listWaiting } from '../../store/reactions.ts';
import { WORD_KIND_NAMES } from '../../store/word-kinds.ts';
import { getTemplate } from '../../store/word-templates.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import { localDay } from '../shared/format.ts';
import { actorWords, entryWords } from '../shared/journal-words.ts';
import { readNames } from '../shared/names.ts';
import type { JournalView, OutboxView, WordRow } from './journal-view.ts';

const ENTRIES_A_PAGE = 100;

export function readJournal(db: Db, before: number | undefined): JournalView {
  const names = readNames(db);
  const entries = readEntriesBefore(db, before ?? Number.MAX_SAFE_INTEGER, ENTRIES_A_PAGE + 1);
  const shown = entries.slice(0, ENTRIES_A_PAGE).map((entry) => ({
    seq: entry.seq,
    at: entry.at,
    text: entryWords(entry, names),
    actor: actorWords(entry.actor, names),
  }));
  const days = Map.groupBy(shown, (row) => localDay(row.at, names.zone));
  return {
    workshop: { name: names.workshop, zone: names.zone },
    waiting: listWaiting(db).map((row) => ({
      reaction: row.reaction,
      seq: row.seq,
      text: entryWords(row, names),
      attempts: row.attempts,
      nextAt: row.nextAt,
      error: row.error,
    })),
    days: [...days].map(([day, rows]) => ({ day, entries: rows })),
    olderThan: entries.length > ENTRIES_A_PAGE ? shown.at(-1)?.seq : undefined,
  };
}

/** @param whens when each kind of word is said */
export function readOutbox(db: Db, whens: (template: string) => string): OutboxView {
  const names = readNames(db);
  const row = ({ facts: _f, createdAt: _c, leasedUntilAt: _l, person, ...word }: StoredWord): WordRow => ({
    ...word,
    person: person.startsWith('coordinator:') ? 'the workshop' : actorWords(person, names),
  });
  return {
    workshop: { name: names.workshop, zone: names.zone },
    hasOwnAddress: requireWorkshop(db).settings.word.email !== '',
    unsent: listUnsent(db).map(row),
    done: listDoneWords(db).map(row),
    texts: WORD_KIND_NAMES.map((template) => ({
      template,
      when: whens(template),
      isOwn: getTemplate(db, template) !== undefined,
    })),
  };
}
