/** What waits, in words: what it is, its numbers, and the one best thing to do about it. */
import { dangersWords } from '../../shared/danger-words.ts';
import {
  dateTime,
  dayLong,
  dayShort,
  dayYearShort,
  kg,
  kgRange,
  localDay,
  percent,
} from '../../shared/format.ts';
import { capital, plainName } from '../../shared/journal-words.ts';
import type { Names } from '../../shared/names.ts';
import { gradeName, unkeptPromise } from '../../shared/words.ts';
import type { InboxItem } from './inbox-view.ts';

export type Act = {
  readonly label: string;
  /** A link, or a form that is sent there. */
  readonly to: string;
  readonly isForm: boolean;
  /** What the form says. */
  readonly fields?: { readonly [name: string]: string };
};
export type ItemWords = { readonly what: string; readonly facts: string; readonly act: Act };

const link = (label: string, to: string): Act => ({ label, to, isForm: false });
const PLAN_AGAIN: Act = { label: 'Plan the week', to: '/week/plan', isForm: true };

type Kind = InboxItem['kind'];
type Words = {
  readonly [K in Kind]: (item: Extract<InboxItem, { readonly kind: K }>, names: Names) => ItemWords;
};

const WORDS: Words = {
  'plan-in-danger': ({ dangers, draftId }, names) => ({
    what: 'The published plan cannot be kept',
    facts: dangersWords(dangers, names),
    act:
      draftId === undefined
        ? { ...PLAN_AGAIN, label: 'Plan again' }
        : link('See the draft that mends it', `/changes?plan=${draftId}`),
  }),
  'promise-not-kept': ({ promise }, names) => {
    const { what, mend } = unkeptPromise(promise, names);
    return {
      what: names.of('site', promise.siteId),
      facts: `${what} ${mend}`,
      act:
        promise.mend.includes('shift') || promise.mend.includes('van')
          ? link('See vans and shifts', `/fleet?from=${localDay(promise.windowFromAt, names.zone)}`)
          : link('See the site', `/sites/${promise.siteId}`),
    };
  },
  'booking-waits': ({ siteId, fromAt, untilAt }, names) => ({
    what: `${names.of('site', siteId)} asks for an extra collection`,
    facts: `Between ${dateTime(fromAt, names.zone)} and ${dateTime(untilAt, names.zone)}; it has no day yet.`,
    act: link('Find it a day', '/requests'),
  }),
  'runs-short': ({ grade, day, shortKg, risk }) => ({
    what: `Production runs short of ${gradeName(grade)}`,
    facts: `From ${dayLong(day)} on: ${percent(risk)} chance, about ${kg(shortKg)} to buy in by the end of the plan.`,
    act: link('See what helps', '/production'),
  }),
  'van-check': ({ vanId, day }, names) => ({
    what: `${names.of('van', vanId)} is due for its check`,
    facts: `By ${dayLong(day)}. Book a workshop, then call off its shifts of that day.`,
    act: link('See the van', `/fleet/vans/${vanId}`),
  }),
  'plan-ends': ({ lastDay }) => ({
    what: lastDay === undefined ? 'No plan is published' : `The published plan ends on ${dayLong(lastDay)}`,
    facts:
      lastDay === undefined
        ? 'Drivers have no run sheet and donors no date.'
        : 'Drivers and donors do not know yet what comes after it.',
    act: PLAN_AGAIN,
  }),
  'reaction-parked': ({ reaction, seq, text, error }) => ({
    what: `A consequence could not be drawn: ${plainName(reaction)}`,
    facts: `${text} ${capital(error)}`.trim(),
    act: {
      label: 'Try again',
      to: `/journal/waiting/${reaction}/${seq}`,
      isForm: true,
      fields: { what: 'again' },
    },
  }),
  'word-parked': ({ person, error }) => ({
    what: `Word to ${person} could not be sent`,
    facts: capital(error),
    act: link('See word to people', '/word'),
  }),
  'odd-weigh-in': ({ doubt }, names) => ({
    what: `An odd weigh-in at ${doubt.siteName}`,
    facts: `${kg(doubt.kg)} on ${dayYearShort(localDay(doubt.at, names.zone))}, expected ${kgRange(doubt.lowKg, doubt.highKg)}. Until somebody looks, it counts ${percent(doubt.weight)}.`,
    act: link('Look at it', `/weigh-ins/${doubt.weighInId}`),
  }),
};

export const itemWords = (item: InboxItem, names: Names): ItemWords =>
  (WORDS[item.kind] as (item: InboxItem, names: Names) => ItemWords)(item, names);

/** "now", "today", "Tue 16 Jun". */
export const dueWords = (dueAt: number, nowAt: number, today: string, zone: string): string => {
  const day = localDay(dueAt, zone);
  return dueAt <= nowAt ? 'now' : day === today ? 'today' : dayShort(day);
};
