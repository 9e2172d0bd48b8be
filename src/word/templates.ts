/**
 * The texts of what people are told, and what may stand in their braces. A workshop may put its own in place of them;
 * `templateFaults` says what is wrong with one before it is kept.
 */
import { z } from 'zod';
import type { WordKind } from '../store/word-kinds.ts';

export type Template = {
  /** For the coordinator: when it is sent. */
  readonly when: string;
  readonly subject: string;
  readonly body: string;
  /** Name in the braces and what stands there, in words. */
  readonly placeholders: { readonly [name: string]: string };
};

const SITE = { site: 'the site’s name', workshop: 'the workshop’s name', phone: 'whom to call' };
const WINDOW = { ...SITE, window: 'from when to when' };
const text = (...lines: readonly string[]): string => lines.join('\n');

export const TEMPLATES: { readonly [kind in WordKind]: Template } = {
  'booking-received': {
    when: 'a donor has asked for an extra collection',
    subject: 'Your extra collection: we have your request',
    body: text(
      'We have your request for an extra collection at {site}, {window}.',
      '',
      'We tell you as soon as the day is fixed.',
    ),
    placeholders: WINDOW,
  },
  'booking-confirmed': {
    when: 'an extra collection is confirmed',
    subject: 'Your extra collection is confirmed',
    body: text('We come to {site} to fetch your film: {window}.'),
    placeholders: WINDOW,
  },
  'booking-changed': {
    when: 'a confirmed extra collection gets another window',
    subject: 'Your extra collection has changed',
    body: text('Your extra collection at {site} is now {window}.'),
    placeholders: WINDOW,
  },
  'booking-cancelled': {
    when: 'an extra collection is cancelled',
    subject: 'Your extra collection is cancelled',
    body: text('The extra collection at {site} is cancelled. Ask again whenever you need one.'),
    placeholders: SITE,
  },
  'visit-moved': {
    when: 'the day of a visit that was planned has changed',
    subject: 'Our visit moves',
    body: text('We planned to come to {site} on {day}. {next}'),
    placeholders: {
      ...SITE,
      day: 'the day that was planned',
      next: 'the new day, or that none is planned yet',
    },
  },
  'visit-tomorrow': {
    when: 'a visit is planned for the next day, to those who want a reminder',
    subject: 'We come tomorrow',
    body: text('Tomorrow, {day}, we come to {site}, about {time}.'),
    placeholders: { ...SITE, day: 'the day', time: 'the time that is planned' },
  },
  'stop-missed': {
    when: 'a stop was not collected',
    subject: 'We could not collect today',
    body: text('We could not collect at {site}: {reason}. {next}'),
    placeholders: { ...SITE, reason: 'why', next: 'when we come next' },
  },
  'rounds-planned': {
    when: 'a published plan has changed a driver’s rounds',
    subject: 'Your rounds have changed',
    body: text('These are your rounds now:', '', '{rounds}', '', 'The run sheet has the stops.'),
    placeholders: {
      rounds: 'days, times and stops, a line each',
      workshop: SITE.workshop,
      phone: SITE.phone,
    },
  },
  exception: {
    when: 'something needs the coordinator',
    subject: '{what}',
    body: text('{what}', '', '{time}. The journal has the rest: {journal}'),
    placeholders: {
      what: 'what happened',
      time: 'when',
      journal: 'the address of the journal',
      workshop: SITE.workshop,
    },
  },
};

const PLACEHOLDER = /\{([^{}]*)\}/g;
const namesIn = (line: string): string[] => [...line.matchAll(PLACEHOLDER)].map(([, name]) => name!);

/** What a kind's text must be. Nothing in it is markup: it goes out as plain text. */
export const templateText = (kind: WordKind) => {
  const known = Object.keys(TEMPLATES[kind].placeholders);
  const onlyKnown = (line: string, context: z.RefinementCtx): void => {
    for (const name of namesIn(line))
      if (!known.includes(name))
        context.addIssue({
          code: 'custom',
          message: `{${name}} is not known here; there are ${known.map((one) => `{${one}}`).join(', ')}`,
        });
    if (/[{}]/.test(line.replace(PLACEHOLDER, '')))
      context.addIssue({ code: 'custom', message: 'a brace { or } has no partner; write names as {site}' });
  };
  return z.strictObject({
    subject: z
      .string()
      .trim()
      .min(1, { error: 'write a subject' })
      .max(150, { error: 'at most 150 letters' })
      .refine((line) => !/[\r\n]/.test(line), { error: 'a subject is one line' })
      .superRefine(onlyKnown),
    body: z
      .string()
      .trim()
      .min(1, { error: 'write a text' })
      .max(1000, { error: 'at most 1,000 letters' })
      .transform((lines) => lines.replace(/\r\n?/g, '\n'))
      .superRefine(onlyKnown),
  });
};

/** Puts the values in; a value is never looked through again for braces. */
export const fill = (line: string, values: { readonly [name: string]: string }): string =>
  line.replace(PLACEHOLDER, (whole, name: string) => values[name] ?? whole);
