/**
 * Keeps machines from a form that is open to everybody, without a task for people (WCAG 2.2, 3.3.8): a signed time, so
 * that nobody sends it quicker than it can be read; a field that people do not see; so many an hour from one address.
 */
import { createHmac, randomBytes, timingSafeEqual } from 'node:crypto';
import type { Instant, Seconds } from '../../core/quantity/units.ts';

/** Nobody reads and fills eight fields in this; the form filled by a browser from memory still passes. Own judgement. */
const LEAST_S: Seconds = 3;
const MOST_S: Seconds = 6 * 3600;
const HOUR_S: Seconds = 3600;
/** From one address, and from all together: a street party has several helpers. Own judgement. */
const PER_ADDRESS = 6;
const IN_ALL = 60;
/** Addresses that are remembered at most, so that a flood of them fills no memory. */
const MOST_ADDRESSES = 10_000;

export type FormGuard = {
  /** For a hidden field: the time, and proof that it is ours. */
  readonly stamp: (at: Instant) => string;
  readonly check: (stamp: string, at: Instant) => 'fine' | 'quick' | 'old';
  /** Whether one more from this address is still allowed; counts it if so. */
  readonly allow: (address: string, at: Instant) => boolean;
};

/** Forgets on restart: a form from before is then asked for once more, filled as it was. */
export function formGuard(key: Uint8Array = randomBytes(32)): FormGuard {
  const sign = (text: string): Buffer => createHmac('sha256', key).update(text).digest();
  const sent = new Map<string, Instant[]>();
  let all: Instant[] = [];
  return {
    stamp: (at) => `${at}.${sign(String(at)).toString('base64url')}`,
    check(stamp, at) {
      const [time = '', proof = ''] = stamp.split('.');
      const given = Buffer.from(proof, 'base64url');
      const own = sign(time);
      if (given.length !== own.length || !timingSafeEqual(given, own)) return 'old';
      const age = at - Number(time);
      if (age < LEAST_S) return 'quick';
      return age > MOST_S ? 'old' : 'fine';
    },
    allow(address, at) {
      const recent = (times: readonly Instant[]): Instant[] => times.filter((time) => time > at - HOUR_S);
      all = recent(all);
      const own = recent(sent.get(address) ?? []);
      if (own.length >= PER_ADDRESS || all.length >= IN_ALL) return false;
      if (sent.size >= MOST_ADDRESSES) sent.clear();
      sent.set(address, [...own, at]);
      all.push(at);
      return true;
    },
  };
}
