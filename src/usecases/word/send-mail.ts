/**
 * Takes words out of the outbox as mails: whatever waits for one address goes together. A mail has its id before it is
 * handed over, and keeps it. What was handed over but not yet noted when the process died goes again under the same
 * Message-ID, so that a receiver who looks at it shows one mail; SMTP itself cannot promise more.
 */
import { afterQuiet } from '../../core/calendar/quiet-hours.ts';
import { type BackOff, seedOf, tryAgainAt } from '../../core/calendar/try-again.ts';
import { localOf } from '../../core/calendar/zone.ts';
import { ok, type Result, refuse } from '../../core/quantity/result.ts';
import type { Instant, Seconds } from '../../core/quantity/units.ts';
import { type Db, inTransaction, type Tx } from '../../store/db.ts';
import { appendEntry } from '../../store/journal.ts';
import {
  leaseWords,
  markMailFailed,
  markMailSent,
  markUnsaid,
  nextDue,
  postpone,
  type StoredWord,
  unparkMail,
  wordsFor,
  wordsOfMail,
} from '../../store/outbox.ts';
import { publishedStopsOfSite } from '../../store/plans.ts';
import { getChoice } from '../../store/word-choices.ts';
import { readWord } from '../../store/word-kinds.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import type { Context } from '../context.ts';
import { PAST_QUIET, quietHoursOf } from './queue-word.ts';

/** A server that has not answered by then is not going to. */
const LEASE_S: Seconds = 180;
/** About a day and a half in all: a mail server that is down over a weekend's night is back by then. */
const BACK_OFF: BackOff = { firstS: 60, mostS: 4 * 3600, tries: 16 };
const MAX_ERROR_LENGTH = 500;

export type MailToSend = {
  readonly mailId: string;
  readonly recipient: string;
  readonly words: readonly StoredWord[];
  /** Of the choice of this address, for the link at the foot. */
  readonly token: string | undefined;
  readonly attempts: number;
};

/** The next mail that is due, leased; nothing when none is. */
export function takeMail({ store, now, newId }: Context): MailToSend | undefined {
  if (!nextDue(store, now())) return undefined;
  return inTransaction(store, (tx) => {
    const at = now();
    for (let due = nextDue(tx, at); due; due = nextDue(tx, at)) {
      const { recipient } = due;
      const words =
        due.mailId === null ? stillTrue(tx, wordsFor(tx, recipient), at) : wordsOfMail(tx, due.mailId);
      if (words.length === 0) continue;
      if (isHeldByNight(tx, words, at)) continue;
      const mailId = due.mailId ?? newId();
      const attempts = due.attempts + 1;
      const ids = words.map((word) => word.id);
      leaseWords(tx, ids, { mailId, attempts, leasedUntilAt: at + LEASE_S });
      return { mailId, recipient, words, attempts, token: getChoice(tx, recipient)?.token };
    }
    return undefined;
  });
}

/** Quiet hours may have begun since it was queued (a server that was down in the evening, say). */
function isHeldByNight(tx: Tx, words: readonly StoredWord[], at: Instant): boolean {
  if (words.some((word) => PAST_QUIET.has(word.template))) return false;
  const { zone, settings } = requireWorkshop(tx);
  const untilAt = afterQuiet(zone, at, quietHoursOf(settings.word));
  if (untilAt === at) return false;
  const ids = words.map((word) => word.id);
  postpone(tx, ids, untilAt);
  return true;
}

/** Leaves out, and marks, what has been overtaken since it was queued. */
function stillTrue(tx: Tx, words: readonly StoredWord[], at: Instant): StoredWord[] {
  const passed = words.filter((word, i) => isPassed(tx, word, words.slice(i + 1), at));
  if (passed.length > 0)
    markUnsaid(
      tx,
      passed.map((word) => word.id),
      'out-of-date',
    );
  return words.filter((word) => !passed.includes(word));
}

function isPassed(db: Db, word: StoredWord, later: readonly StoredWord[], at: Instant): boolean {
  const told = readWord(word.template, word.facts);
  switch (told.template) {
    case 'visit-tomorrow': {
      const { siteId, startAt } = told.facts;
      const { zone } = requireWorkshop(db);
      const { day } = localOf(zone, startAt);
      const isPlanned = publishedStopsOfSite(db, siteId).some((stop) => stop.day === day);
      return startAt <= at || !isPlanned;
    }
    case 'visit-moved':
      // Moved again before anybody was told: the last move says it all.
      return later.some((other) => {
        const next = readWord(other.template, other.facts);
        return next.template === 'visit-moved' && next.facts.siteId === told.facts.siteId;
      });
    case 'rounds-planned':
      return later.some((other) => other.template === 'rounds-planned' && other.person === word.person);
    default:
      return false;
  }
}

export function noteSent({ store, now }: Context, mailId: string): void {
  inTransaction(store, (tx) => markMailSent(tx, mailId, now()));
}

export function noteNotSent({ store, now }: Context, { mailId, attempts }: MailToSend, fault: unknown): void {
  inTransaction(store, (tx) => {
    const at = now();
    const error = (fault instanceof Error ? fault.message : String(fault)).slice(0, MAX_ERROR_LENGTH);
    const nextAt = tryAgainAt(BACK_OFF, attempts, at, seedOf(mailId));
    if (nextAt !== undefined) {
      markMailFailed(tx, mailId, error, { notBeforeAt: nextAt });
      return;
    }
    markMailFailed(tx, mailId, error, { parkedAt: at });
    appendEntry(tx, {
      at,
      kind: 'word-parked',
      subject: `mail:${mailId}`,
      actor: 'server',
      facts: { mailId, error },
    });
  });
}

export function tryMailAgain(
  { store, now }: Context,
  { mailId, actor }: { readonly mailId: string; readonly actor: string },
): Result<{ readonly mailId: string }, { readonly kind: 'no-such-parked-mail' }> {
  return inTransaction(store, (tx) => {
    if (!wordsOfMail(tx, mailId).some((word) => word.parkedAt !== null))
      return refuse({ kind: 'no-such-parked-mail' });
    const at = now();
    unparkMail(tx, mailId, at);
    appendEntry(tx, { at, kind: 'word-tried-again', subject: `mail:${mailId}`, actor, facts: { mailId } });
    return ok({ mailId });
  });
}
