/**
 * The sheet on this phone, as one thing that pages show and change: what is kept, what waits, how the line is. Every
 * change is written down before it is shown; other tabs hear of it and read anew.
 */
import type { Instant } from '../../../core/quantity/units.ts';
import type { SentSheet } from '../../driver/sent-sheet.ts';
import { withSent } from './changes.ts';
import { type Fact, type KnownTime, type NewFact, newFactId, type Said } from './fact.ts';
import { handIn, type Line, type Lock } from './hand-in.ts';
import type { Keep } from './keep.ts';
import type { KeptRun } from './kept-run.ts';
import { backOffS, countsOf, mayLeave, setAside } from './outbox.ts';
import { type Contact, contactOf, knownAfter } from './phone-clock.ts';

export type Trouble =
  /** This entry could not be kept: it is on the page and nowhere else. */
  | { readonly kind: 'full' }
  | { readonly kind: 'short'; readonly freeMb: number }
  /** The phone threw its store away while so many waited. */
  | { readonly kind: 'lost'; readonly waited: number }
  | { readonly kind: 'not-persistent' };

export type SheetState = {
  readonly kept?: KeptRun;
  readonly facts: readonly Fact[];
  /** By round: stop ids in the order that the driver wants. */
  readonly order: { readonly [roundId: string]: readonly string[] };
  readonly signal: 'unknown' | 'there' | 'none' | 'signed-out';
  readonly isHandingIn: boolean;
  readonly troubles: readonly Trouble[];
  /** Server's clock less the phone's. */
  readonly known: KnownTime;
};

/** What the browser gives, so that tests may give it too. */
export type Surroundings = {
  readonly keep: Keep;
  readonly line: Line;
  readonly lock: Lock;
  readonly fetchSheet: () => Promise<SentSheet | 'no-signal' | 'signed-out'>;
  readonly phoneNow: () => Instant;
  /** Tells other tabs, and hears from them. */
  readonly tellOthers: () => void;
  /** How many wait, remembered where the phone's store is not: so that its loss is noticed. */
  readonly waited: { readonly get: () => number; readonly set: (count: number) => void };
  readonly later: (seconds: number, work: () => void) => void;
  readonly chance: () => number;
};

export class SheetModel {
  state: SheetState = {
    facts: [],
    order: {},
    signal: 'unknown',
    isHandingIn: false,
    troubles: [],
    known: { offsetS: 0, contactAt: 0 },
  };
  readonly #around: Surroundings;
  readonly #listeners = new Set<() => void>();
  #failures = 0;
  #isTimed = false;

  constructor(around: Surroundings) {
    this.#around = around;
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };
  readonly get = (): SheetState => this.state;

  #show(change: Partial<SheetState>): void {
    this.state = { ...this.state, ...change };
    for (const listener of this.#listeners) listener();
  }

  trouble(trouble: Trouble): void {
    const others = this.state.troubles.filter(({ kind }) => kind !== trouble.kind);
    this.#show({ troubles: [...others, trouble] });
  }

  noTrouble(kind: Trouble['kind']): void {
    this.#show({ troubles: this.state.troubles.filter((trouble) => trouble.kind !== kind) });
  }

  /** The server's time now, as well as the phone can tell. */
  nowAt(): Instant {
    return this.#around.phoneNow() + this.state.known.offsetS;
  }

  /** From the phone's store; also when another tab has changed it. */
  async read(): Promise<void> {
    const { keep } = this.#around;
    const [kept, facts, order, known] = await Promise.all([
      keep.get<KeptRun>('run'),
      keep.facts(),
      keep.get<SheetState['order']>('order'),
      keep.get<KnownTime>('known'),
    ]);
    this.#show({
      ...(kept ? { kept } : {}),
      facts,
      order: order ?? {},
      ...(known ? { known } : {}),
    });
  }

  async open(): Promise<void> {
    await this.read();
    const waited = this.#around.waited.get();
    if (waited > 0 && this.state.facts.length === 0) this.trouble({ kind: 'lost', waited });
    await this.#leave(false);
  }

  /** Nothing is said before it is written down: whoever sees it listed may put the phone away. */
  async say(said: Said): Promise<Fact | undefined> {
    const { keep, phoneNow } = this.#around;
    const driverId = this.state.kept?.accepted.driverId;
    if (driverId === undefined) return undefined;
    const fact: NewFact = {
      id: newFactId(),
      driverId,
      said,
      phoneAt: phoneNow(),
      known: this.state.known,
      state: 'waiting',
      ...this.#standingTime(said),
    };
    const kept = await this.#write(() => keep.add(fact));
    if (!kept) return undefined;
    await this.#changed();
    void this.handIn();
    return kept;
  }

  /** A correction of what the server has keeps the time at which it was fetched. */
  #standingTime(said: Said): { readonly at?: Instant } {
    if (said.kind !== 'weigh-in' || said.replacesId === undefined) return {};
    for (const { stops } of this.state.kept?.accepted.run.rounds ?? [])
      for (const stop of stops)
        if (stop.kind === 'site' && stop.outcome?.kind === 'weighed')
          if (stop.outcome.weighInId === said.replacesId) return { at: stop.outcome.at };
    return {};
  }

  async leaveAsItIs(fact: Fact): Promise<void> {
    await this.#write(() => this.#around.keep.put(setAside(fact)));
    await this.#changed();
  }

  async goNextTo(roundId: string, stopId: string): Promise<void> {
    const before = this.state.order[roundId] ?? [];
    const order = {
      ...this.state.order,
      [roundId]: [stopId, ...before.filter((id) => id !== stopId)],
    };
    await this.#write(() => this.#around.keep.set('order', order));
    this.#show({ order });
    this.#around.tellOthers();
  }

  async takeOffered(): Promise<void> {
    const { offered } = this.state.kept ?? {};
    if (!offered) return;
    const kept: KeptRun = { accepted: offered };
    await this.#write(() => this.#around.keep.set('run', kept));
    this.#show({ kept });
    this.#around.tellOthers();
  }

  /** Fetches the sheet anew. */
  async refresh(): Promise<void> {
    const askedAt = this.#around.phoneNow();
    const sent = await this.#around.fetchSheet();
    const answeredAt = this.#around.phoneNow();
    if (sent === 'signed-out') return this.#signedOut();
    if (sent === 'no-signal') return this.#show({ signal: 'none' });
    const kept = withSent(await this.#around.keep.get<KeptRun>('run'), sent);
    this.#show({ kept, signal: 'there' });
    await this.#meet(contactOf(askedAt, answeredAt, sent.run.nowAt));
    await this.#write(() => this.#around.keep.set('run', kept));
  }

  /** The server does not know this phone: names and addresses go, what was entered stays. */
  async #signedOut(): Promise<void> {
    await this.#around.keep.forget('run');
    const { kept: _, ...rest } = this.state;
    this.state = rest;
    this.#show({ signal: 'signed-out' });
  }

  async #meet(contact: Contact): Promise<void> {
    const known = knownAfter(this.state.known, contact);
    this.#show({ known, signal: 'there' });
    await this.#write(() => this.#around.keep.set('known', known));
  }

  /** Everything that waits, to the server; again later if it cannot be now. */
  async handIn(): Promise<void> {
    const { keep, line, lock } = this.#around;
    this.#show({ isHandingIn: true });
    const end = await handIn(keep, line, lock, async (contact) => {
      if (contact) await this.#meet(contact);
      await this.#changed();
    }).catch(() => 'later' as const);
    this.#show({ isHandingIn: false });
    await this.#changed();
    if (end === 'signed-out') return this.#signedOut();
    if (end === 'no-signal') this.#show({ signal: 'none' });
    if (end === 'all-in') {
      this.#failures = 0;
      return;
    }
    this.#againLater();
  }

  #againLater(): void {
    if (this.#isTimed) return;
    this.#isTimed = true;
    this.#around.later(backOffS(this.#failures++, this.#around.chance()), () => {
      this.#isTimed = false;
      if (this.#hasWaiting()) void this.handIn();
    });
  }

  #hasWaiting = (): boolean => this.state.facts.some(({ state }) => state === 'waiting');

  async #changed(): Promise<void> {
    const facts = await this.#around.keep.facts();
    this.#show({ facts });
    this.#around.waited.set(facts.filter(({ state }) => state === 'waiting').length);
    this.#around.tellOthers();
  }

  /** Where the phone's room is short, what the server has makes way, and it is tried again. */
  async #write<T>(work: () => Promise<T>): Promise<T | undefined> {
    try {
      return await work();
    } catch {
      await this.#leave(true);
    }
    try {
      const done = await work();
      this.noTrouble('full');
      return done;
    } catch {
      this.trouble({ kind: 'full' });
      return undefined;
    }
  }

  async #leave(isShort: boolean): Promise<void> {
    const { keep } = this.#around;
    try {
      const facts = await keep.facts();
      await keep.drop(mayLeave(facts, this.nowAt(), isShort));
      this.#show({ facts: await keep.facts() });
    } catch {
      // What cannot be dropped stays; the next writing says whether there is room.
    }
  }

  counts() {
    return countsOf(
      this.state.facts,
      this.state.kept?.accepted.driverId ?? this.state.facts[0]?.driverId ?? '',
    );
  }
}
