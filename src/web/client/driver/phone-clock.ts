/** When something happened, by the server's clock, told by a phone whose clock may be wrong by hours. */
import type { Instant, Seconds } from '../../../core/quantity/units.ts';
import type { Fact } from './fact.ts';

export type Contact = {
  /** The phone's clock and the server's, at the same moment. */
  readonly phoneAt: Instant;
  readonly serverAt: Instant;
};

/** An answer takes its time, and clocks count whole seconds. */
const SLACK_S: Seconds = 60;

/**
 * Two readings are possible: by the offset that was known when it was said, and by the one of now. They differ when
 * somebody set the phone's clock in between. What lies before the last contact or in the future did not happen so; of
 * two that are possible the earlier offset is taken, for a phone is set right when it finds its network again.
 */
export function happenedAt({ phoneAt, known }: Pick<Fact, 'phoneAt' | 'known'>, contact: Contact): Instant {
  const isPossible = (at: Instant): boolean =>
    at >= known.contactAt - SLACK_S && at <= contact.serverAt + SLACK_S;
  const byThen = phoneAt + known.offsetS;
  if (isPossible(byThen)) return Math.min(byThen, contact.serverAt);
  const byNow = phoneAt + (contact.serverAt - contact.phoneAt);
  if (isPossible(byNow)) return Math.min(byNow, contact.serverAt);
  return Math.min(Math.max(byThen, known.contactAt), contact.serverAt);
}
