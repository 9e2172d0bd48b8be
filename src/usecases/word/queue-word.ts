/** Puts a word to a person into the outbox, for each of that person's addresses, when each wants to hear of it. */
import { afterQuiet, nextClock } from '../../core/calendar/quiet-hours.ts';
import { minuteOf } from '../../core/calendar/zone.ts';
import type { Instant } from '../../core/quantity/units.ts';
import type { WordChoice } from '../../core/vocabulary.ts';
import type { Tx } from '../../store/db.ts';
import { getDriver } from '../../store/drivers.ts';
import { queueWord } from '../../store/outbox.ts';
import type { Settings } from '../../store/settings.ts';
import { getSite, listSitesOfDonor } from '../../store/sites.ts';
import { type ChoiceOfAddress, getChoice, saveChoice } from '../../store/word-choices.ts';
import type { AnyWord, WordKind } from '../../store/word-kinds.ts';
import { requireWorkshop } from '../../store/workshop.ts';

export type QueueDeps = { readonly tx: Tx; readonly at: Instant; readonly newId: () => string };

/**
 * @param cause what it follows from: the same cause, kind and address make one word, however often it is queued
 */
export function tell({ tx, at, newId }: QueueDeps, word: AnyWord, cause: string): void {
  const { zone, settings } = requireWorkshop(tx);
  const { person, addresses } = whom(tx, word);
  const common = { person, template: word.template, facts: word.facts, createdAt: at };
  if (addresses.length === 0)
    queueWord(tx, {
      ...common,
      id: `${word.template}:${cause}:${person}`,
      recipient: '',
      notBeforeAt: at,
      unsaid: 'no-address',
    });
  for (const address of addresses) {
    const { choice, remindDayBefore } = choiceOf(tx, address, at, newId);
    const isWanted = choice !== 'none' && (word.template !== 'visit-tomorrow' || remindDayBefore);
    queueWord(tx, {
      ...common,
      id: `${word.template}:${cause}:${address}`,
      recipient: address,
      notBeforeAt: notBefore(zone, settings, choice, at, word.template),
      unsaid: isWanted ? null : 'not-wanted',
    });
  }
}

/** What the address chose, or what is usual until it does: every word, and no reminders. */
export function choiceOf(tx: Tx, address: string, at: Instant, newId: () => string): ChoiceOfAddress {
  const known = getChoice(tx, address);
  if (known) return known;
  // Two ids, so that nobody guesses it: whoever holds it may change what this address is told, and nothing else.
  const token = `${newId()}${newId()}`;
  const usual = { address, choice: 'each', remindDayBefore: false, token, changedAt: at } as const;
  saveChoice(tx, usual);
  return usual;
}

function notBefore(
  zone: string,
  { word }: Settings,
  choice: WordChoice,
  at: Instant,
  template: WordKind,
): Instant {
  if (choice === 'digest') return nextClock(zone, at, minuteOf(word.digestAt)!);
  const gatheredAt = at + word.gatherS;
  return PAST_QUIET.has(template) ? gatheredAt : afterQuiet(zone, gatheredAt, quietHoursOf(word));
}

/** Whoever leaves at six must know it the evening before. */
export const PAST_QUIET: ReadonlySet<string> = new Set<WordKind>(['rounds-planned']);

export const quietHoursOf = ({ quietFrom, quietUntil }: Settings['word']) => ({
  fromMinute: minuteOf(quietFrom)!,
  untilMinute: minuteOf(quietUntil)!,
});

export const inSmallLetters = (addresses: readonly string[]): string[] => [
  ...new Set(addresses.map((address) => address.trim().toLowerCase()).filter((address) => address !== '')),
];

function whom(tx: Tx, word: AnyWord): { readonly person: string; readonly addresses: string[] } {
  switch (word.template) {
    case 'exception':
      return {
        person: 'coordinator:workshop',
        addresses: inSmallLetters([requireWorkshop(tx).settings.word.email]),
      };
    case 'rounds-planned': {
      const { driverId } = word.facts;
      return {
        person: `driver:${driverId}`,
        addresses: inSmallLetters([getDriver(tx, driverId)?.email ?? '']),
      };
    }
    default: {
      const site = getSite(tx, word.facts.siteId);
      if (!site) throw new Error(`there is no site ${word.facts.siteId} to tell somebody about`);
      const own = inSmallLetters(site.contacts.map((contact) => contact.email));
      // Nobody at the site has an address: whoever the donor's other sites name.
      const office = () =>
        listSitesOfDonor(tx, site.donorId).flatMap(({ contacts }) => contacts.map(({ email }) => email));
      return {
        person: `donor:${site.donorId}`,
        addresses: own.length > 0 ? own : inSmallLetters(office()).slice(0, 1),
      };
    }
  }
}
