/** The closed lists of words that the register, the API and the screens share. One name per thing. */

export const POLYMERS = ['ldpe', 'hdpe', 'pp', 'mixed-film'] as const;
export type Polymer = (typeof POLYMERS)[number];

export const COLOURS = ['clear', 'white', 'black', 'warm', 'cool', 'green', 'printed'] as const;
export type Colour = (typeof COLOURS)[number];

/** Polymer × colour family, written `ldpe-clear`. */
export type Grade = `${Polymer}-${Colour}`;
export const GRADES: readonly Grade[] = POLYMERS.flatMap((p) => COLOURS.map((c): Grade => `${p}-${c}`));

export const SITE_KINDS = [
  'shop',
  'wholesaler',
  'market',
  'school',
  'office',
  'drop-off',
  'one-off',
] as const;
export type SiteKind = (typeof SITE_KINDS)[number];

export const CONTAINER_KINDS = ['sack', 'bulk-bag', 'cage', 'wheeled-bin', 'crate'] as const;
export type ContainerKind = (typeof CONTAINER_KINDS)[number];

/** `must` is a promise; `usual` is a habit that may move. */
export const COMMITMENTS = ['must', 'usual'] as const;
export type Commitment = (typeof COMMITMENTS)[number];

export const EVENT_KINDS = [
  'festival',
  'market-day',
  'delivery-peak',
  'clearance',
  'clean-up',
  'other',
] as const;
export type EventKind = (typeof EVENT_KINDS)[number];

/** How the mass of a weigh-in was found. */
export const WEIGH_METHODS = ['scale', 'bag-count', 'apportioned', 'estimate'] as const;
export type WeighMethod = (typeof WEIGH_METHODS)[number];

/** Why a stop was not collected. */
export const MISSED_REASONS = [
  'closed',
  'nothing-there',
  'no-access',
  'unsafe-contents',
  'van-full',
  'other',
] as const;
export type MissedReason = (typeof MISSED_REASONS)[number];

/** Why film was refused or thrown out; PVC gives off hydrogen chloride when it is heated (HSE PPIS13). */
export const REJECT_REASONS = ['food', 'sharps', 'pvc', 'wrong-polymer', 'wet', 'unknown'] as const;
export type RejectReason = (typeof REJECT_REASONS)[number];

/** What moves stock; the sign of the mass follows the kind, except for `correction`. */
export const STOCK_KINDS = [
  'opening',
  'collected',
  'delivery',
  'take-back',
  'off-cut',
  'bought',
  'production',
  'rejected',
  'sold',
  'disposed',
  'correction',
] as const;
export type StockKind = (typeof STOCK_KINDS)[number];

export const PLAN_STATES = ['draft', 'published', 'superseded'] as const;
export type PlanState = (typeof PLAN_STATES)[number];

export const BOOKING_STATES = ['waiting', 'confirmed', 'done', 'cancelled'] as const;
export type BookingState = (typeof BOOKING_STATES)[number];

export const ROLES = ['coordinator', 'driver', 'donor'] as const;
export type Role = (typeof ROLES)[number];

/** How a round goes, as its driver says it. */
export const ROUND_MARKS = ['started', 'paused', 'resumed', 'finished'] as const;
export type RoundMark = (typeof ROUND_MARKS)[number];
/** What may follow what: a round starts once, is paused while it runs, goes on while it is paused. */
export const NEXT_MARKS: { readonly [last in RoundMark | 'none']: readonly RoundMark[] } = {
  none: ['started'],
  started: ['paused', 'finished'],
  paused: ['resumed', 'finished'],
  resumed: ['paused', 'finished'],
  finished: [],
};

/** What an address wants: every word at once, one mail a day, or none. */
export const WORD_CHOICES = ['each', 'digest', 'none'] as const;
export type WordChoice = (typeof WORD_CHOICES)[number];

/** Why a word was never sent: nobody gave an address, the address wants none, or it was true no longer. */
export const UNSAID_REASONS = ['no-address', 'not-wanted', 'out-of-date'] as const;
export type UnsaidReason = (typeof UNSAID_REASONS)[number];
/** How a run of simulated years ended. */
export const WORTH_OUTCOMES = ['done', 'stopped', 'failed'] as const;
export type WorthOutcome = (typeof WORTH_OUTCOMES)[number];
