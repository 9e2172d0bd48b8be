/**
 * What a driver says on the phone, kept there until the server has it: a fact with an id of its own, which the server
 * takes once however often it is sent. Plain data, so that IndexedDB keeps it as it is.
 */
import type { Instant, Kg, Seconds } from '../../../core/quantity/units.ts';
import type { MissedReason, RoundMark } from '../../../core/vocabulary.ts';
import type { Amounts } from '../../shared/weigh-in-fields.ts';

/** What was said. Facts of one round are handed in in the order in which they were said. */
export type Said =
  | {
      readonly kind: 'weigh-in';
      readonly roundId: string;
      readonly stopId: string;
      readonly siteId: string;
      readonly amounts: Amounts;
      /** A correction: the id of the weigh-in that it replaces, which may be a fact of this phone. */
      readonly replacesId?: string;
    }
  | {
      readonly kind: 'missed';
      readonly roundId: string;
      readonly stopId: string;
      readonly siteId: string;
      readonly reason: MissedReason;
      readonly note: string;
    }
  | { readonly kind: 'mark'; readonly roundId: string; readonly mark: RoundMark }
  | { readonly kind: 'load'; readonly roundId: string; readonly netKg: Kg }
  /** At a site that the round does not call at: a donor waved. */
  | {
      readonly kind: 'pickup';
      readonly roundId: string;
      readonly siteId: string;
      readonly amounts: Amounts;
    }
  | { readonly kind: 'off-road'; readonly roundId: string; readonly reason: string };

/** What the phone knew of the server's time when the fact was said. */
export type KnownTime = {
  /** Server's clock less the phone's, at the last contact before. */
  readonly offsetS: Seconds;
  /** The server's time at that contact: what is said later did not happen before it. */
  readonly contactAt: Instant;
};

export type Refusal = {
  /** The server's word for it, such as `already-weighed`. */
  readonly kind: string;
  /** The weigh-in that stands instead, where there is one. */
  readonly weighInId?: string;
};

export type Fact = {
  /** Made on the phone; the server's idempotency key, and the id of what it makes. */
  readonly id: string;
  /** Order of saying it, on this phone. */
  readonly seq: number;
  /** Whose it is: a phone may change hands with facts still on it. */
  readonly driverId: string;
  readonly said: Said;
  /** By the phone's own clock, right or wrong. */
  readonly phoneAt: Instant;
  readonly known: KnownTime;
  /** By the server's clock: settled before it is sent for the first time, so that every try says the same. */
  readonly at?: Instant;
  readonly state: 'waiting' | 'handed-in' | 'refused' | 'set-aside';
  /** By the server's clock. */
  readonly handedInAt?: Instant;
  readonly refusal?: Refusal;
};

/** As it is said, before the store numbers it. */
export type NewFact = Omit<Fact, 'seq'>;

/** 128 random bits, URL-safe: RFC 4122's version 4 where the browser has it. */
export const newFactId = (): string => crypto.randomUUID();
