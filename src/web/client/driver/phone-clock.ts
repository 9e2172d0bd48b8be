/** When something happened, by the server's clock, told by a phone whose clock may be wrong by hours. */
import type { Instant, Seconds } from '../../../core/quantity/units.ts';
import type { Fact, KnownTime } from './fact.ts';

export type Contact = {
  /** The phone's clock and the server's, at the same moment but for what the answer took. */
  readonly phoneAt: Instant;
  readonly serverAt: Instant;
  /** How long the answer took: a slow one tells the time badly. */
  readonly tookS: Seconds;
};

/** A dead radio cell holds an answer back; then what was known of the clocks before is better. */
const SLOW_S: Seconds = 10;

export const contactOf = (askedAt: Instant, answeredAt: Instant, serverAt: Instant): Contact => ({
  phoneAt: (askedAt + answeredAt) / 2,
  serverAt,
  tookS: answeredAt - askedAt,
});

/** What is known of the server's time after a contact. */
export function knownAfter(before: KnownTime, { phoneAt, serverAt, tookS }: Contact): KnownTime {
  const isNew = before.contactAt === 0 || (tookS >= 0 && tookS <= SLOW_S);
  return { offsetS: isNew ? Math.round(serverAt - phoneAt) : before.offsetS, contactAt: serverAt };
}

/** An answer takes its time, and clocks count whole seconds. */
const SLACK_S: Seconds = 60;

/**
 * Two readings are possible: by the offset that was known when it was said, and by the one of now. They differ when
 * somebody set the phone's clock in between. What lies before the last contact or in the future did not happen so; of
 * two that are possible the earlier offset is taken, for a phone is set right when it finds its network again.
 */
export function happenedAt(
  { phoneAt, known }: Pick<Fact, 'phoneAt' | 'known'>,
  contact: Pick<Contact, 'phoneAt' | 'serverAt'>,
): Instant {
  const isPossible = (at: Instant): boolean =>
    at >= known.contactAt - SLACK_S && at <= contact.serverAt + SLACK_S;
  const byThen = phoneAt + known.offsetS;
  if (isPossible(byThen)) return Math.min(byThen, contact.serverAt);
  const byNow = Math.round(phoneAt + (contact.serverAt - contact.phoneAt));
  if (isPossible(byNow)) return Math.min(byNow, contact.serverAt);
  return Math.min(Math.max(byThen, known.contactAt), contact.serverAt);
}
