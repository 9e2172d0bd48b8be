/**
 * Everything that people are told, and the facts that the sentence is made of when it is sent. A new kind is a row
 * here, and its text a row in `src/word/templates.ts`.
 */
import { z } from 'zod';
import { MISSED_REASONS, type Role } from '../core/vocabulary.ts';

const Id = z.string().min(1);
const At = z.int();
const Day = z.string();
const facts = z.strictObject;
const Booking = facts({ siteId: Id, bookingId: Id, fromAt: At, untilAt: At });

export const WORD_KINDS = {
  'booking-received': { to: 'donor', facts: Booking },
  'booking-confirmed': { to: 'donor', facts: Booking },
  'booking-changed': { to: 'donor', facts: Booking },
  'booking-cancelled': { to: 'donor', facts: Booking },
  /** `startAt` is null where no other day is planned yet. */
  'visit-moved': { to: 'donor', facts: facts({ siteId: Id, fromDay: Day, startAt: At.nullable() }) },
  'visit-tomorrow': { to: 'donor', facts: facts({ siteId: Id, startAt: At }) },
  'stop-missed': {
    to: 'donor',
    facts: facts({ siteId: Id, reason: z.enum(MISSED_REASONS), nextAt: At.nullable() }),
  },
  'rounds-planned': { to: 'driver', facts: facts({ planId: Id, driverId: Id, fromAt: At }) },
  /** What the journal tells at this place. */
  exception: { to: 'coordinator', facts: facts({ seq: z.int() }) },
} as const satisfies { readonly [kind: string]: { readonly to: Role; readonly facts: z.ZodType } };

export type WordKind = keyof typeof WORD_KINDS;
export const WORD_KIND_NAMES = Object.keys(WORD_KINDS) as WordKind[];
export type WordFacts<K extends WordKind> = z.output<(typeof WORD_KINDS)[K]['facts']>;
/** A kind with its own facts. */
export type AnyWord = {
  readonly [K in WordKind]: { readonly template: K; readonly facts: WordFacts<K> };
}[WordKind];

export const isWordKind = (name: string): name is WordKind => Object.hasOwn(WORD_KINDS, name);

/** @throws ZodError where a stored word is not of this program's kinds */
export const readWord = (template: string, stored: unknown): AnyWord => {
  const kind = z.enum(WORD_KIND_NAMES).parse(template);
  return { template: kind, facts: WORD_KINDS[kind].facts.parse(stored) } as AnyWord;
};
