/** Why a published plan is in danger, and what would help: one sentence a fact, each number with its unit. */
import type { Danger } from '../../core/planning/danger.ts';
import type { Help } from '../../core/planning/quote-help.ts';
import type { Instant } from '../../core/quantity/units.ts';
import {
  dateTime,
  dayShort,
  duration,
  kg,
  litres,
  localDay,
  money,
  number,
  percent,
  time,
} from './format.ts';
import type { Names } from './names.ts';

type Words<T extends { readonly kind: string }> = {
  readonly [K in T['kind']]: (fact: Extract<T, { readonly kind: K }>, names: Names) => string;
};

const stopsWords = (count: number): string => `${number(count)} ${count === 1 ? 'stop' : 'stops'}`;

const spanWords = (fromAt: Instant, untilAt: Instant, zone: string): string => {
  const isOneDay = localDay(fromAt, zone) === localDay(untilAt - 1, zone);
  return `${dateTime(fromAt, zone)} to ${isOneDay ? time(untilAt, zone) : dateTime(untilAt, zone)}`;
};

const DANGERS: Words<Danger> = {
  overflow: ({ siteId, risk, visitDay }, names) =>
    `${names.of('site', siteId)} overflows with a chance of ${percent(risk)} ${visitDay === undefined ? 'by the end of the plan, which has no visit there' : `before we come on ${dayShort(visitDay)}`}.`,
  shortage: ({ moreMicros }, { currency }) =>
    `Production would have to buy in film for ${money(moreMicros, currency)} more than when the plan was made.`,
  'van-too-small': ({ day, kg: massKg, payloadKg, litres: space, loadSpaceL }) =>
    `The round of ${dayShort(day)} is to carry ${kg(massKg)} and ${litres(space)}; its van takes ${kg(payloadKg)} and ${litres(loadSpaceL)}.`,
  'shift-too-short': ({ day, stops }) =>
    `The ${stopsWords(stops)} of a round on ${dayShort(day)} do not fit its shift and the hours of its sites any more.`,
  'promise-not-held': ({ siteId, fromAt, untilAt }, names) =>
    `${names.of('site', siteId)} was promised or asked for ${spanWords(fromAt, untilAt, names.zone)}, and no round calls there.`,
  'round-without-van': ({ day, siteIds }) =>
    `The round of ${dayShort(day)} with ${stopsWords(siteIds.length)} has no van or no driver any more.`,
  'stop-without-need': ({ siteId, day, extraS }, names) =>
    `${names.of('site', siteId)} does not need its visit on ${dayShort(day)} any more; it takes ${duration(extraS)}.`,
};

const dangerWords = (danger: Danger, names: Names): string =>
  (DANGERS[danger.kind] as (fact: Danger, names: Names) => string)(danger, names);

/** From the journal, where a newer program may have written a kind that this one does not know. */
export const dangersWords = (dangers: readonly { readonly kind: string }[], names: Names): string =>
  dangers
    .map((danger) =>
      danger.kind in DANGERS ? dangerWords(danger as Danger, names) : danger.kind.replaceAll('-', ' '),
    )
    .join(' ');

const HELPS: Words<Help> = {
  'another-day': ({ day }) => `Another day: ${dayShort(day)} is possible.`,
  'open-longer': ({ day }) => `Open beyond the usual hours on ${dayShort(day)}.`,
  'longer-shift': ({ day, byS }) => `A shift that is up to ${duration(byS)} longer on ${dayShort(day)}.`,
  'bigger-van': ({ day, payloadKg, loadSpaceL }) =>
    `A van of ${litres(loadSpaceL)} and ${kg(payloadKg)} on ${dayShort(day)}.`,
  'another-shift': ({ day }) => `One more van with a driver on ${dayShort(day)}.`,
  'move-another': ({ day, siteId }, names) =>
    `The visit at ${names.of('site', siteId)} on ${dayShort(day)} on another day: nobody was promised it.`,
};
export const helpWords = (help: Help, names: Names): string =>
  (HELPS[help.kind] as (fact: Help, names: Names) => string)(help, names);
