/**
 * One run of handing in: everything that waits goes to the server, one after another. Where the phone stops, by whatever
 * accident, the next run goes on: a fact that the server already has is answered as the first time.
 */
import type { Instant } from '../../../core/quantity/units.ts';
import type { Fact, NewFact } from './fact.ts';
import { type Answer, afterAnswer, nextToHandIn } from './outbox.ts';
import { type Contact, happenedAt } from './phone-clock.ts';

/** Where facts are kept. Every promise ends when the phone has written it down, not before. */
export type FactStore = {
  readonly facts: () => Promise<readonly Fact[]>;
  readonly add: (fact: NewFact) => Promise<Fact>;
  readonly put: (fact: Fact) => Promise<void>;
  readonly drop: (facts: readonly Fact[]) => Promise<void>;
};

export type Line = {
  /** Who is signed in, and what time it is there; nothing when nobody answers. */
  readonly call: () => Promise<
    | { readonly kind: 'there'; readonly driverId: string; readonly contact: Contact }
    | { readonly kind: 'no-signal' | 'signed-out' }
  >;
  readonly send: (fact: Fact & { readonly at: Instant }) => Promise<Answer>;
};

/** Runs `work` if no other tab of this phone is at it. */
export type Lock = (work: () => Promise<void>) => Promise<void>;

export type RunEnd =
  | 'all-in'
  /** Something waits and can go later. */
  | 'later'
  | 'no-signal'
  | 'signed-out'
  /** Another tab is at it. */
  | 'elsewhere';

export async function handIn(
  store: FactStore,
  line: Line,
  lock: Lock,
  onChange: (contact?: Contact) => void | Promise<void> = () => {},
): Promise<RunEnd> {
  let end: RunEnd = 'elsewhere';
  await lock(async () => {
    const passedBy = new Set<string>();
    let there: Awaited<ReturnType<Line['call']>> | undefined;
    let lastSeq = 0;
    for (;;) {
      const facts = await store.facts();
      const newest = Math.max(0, ...facts.map(({ seq }) => seq));
      // What was said since the last call lies ahead of the server's time as it was told there.
      if (there === undefined || newest > lastSeq) {
        there = await line.call();
        lastSeq = newest;
        if (there.kind === 'there') await onChange(there.contact);
      }
      if (there.kind !== 'there') {
        end = there.kind;
        return;
      }
      const next = nextToHandIn(facts, there.driverId, passedBy);
      if (!next) break;
      const timed = { ...next, at: next.at ?? timeOf(next, facts, there.contact) };
      if (next.at === undefined) await store.put(timed);
      const answer = await line.send(timed);
      if (answer.kind === 'no-signal' || answer.kind === 'signed-out') {
        end = answer.kind;
        return;
      }
      if (answer.kind === 'later') passedBy.add(next.id);
      else {
        await store.put(afterAnswer(timed, answer, there.contact.serverAt));
        await onChange();
      }
    }
    end = passedBy.size > 0 ? 'later' : 'all-in';
  });
  return end;
}

/**
 * A correction says when the film was fetched, not when the slip was seen. Everything else happened in the order in which
 * it was said, whatever the clock did in between.
 */
function timeOf(fact: Fact, facts: readonly Fact[], contact: Contact): Instant {
  const replacesId = replacedBy(fact);
  const corrected = facts.find(({ id }) => id === replacesId);
  if (corrected) return corrected.at ?? happenedAt(corrected, contact);
  const before = facts.filter(
    (other) => other.seq < fact.seq && other.driverId === fact.driverId && !replacedBy(other),
  );
  const notBefore = Math.max(0, ...before.map(({ at = 0 }) => at));
  return Math.min(Math.max(happenedAt(fact, contact), notBefore), contact.serverAt);
}

const replacedBy = ({ said }: Fact): string | undefined =>
  said.kind === 'weigh-in' ? said.replacesId : undefined;
