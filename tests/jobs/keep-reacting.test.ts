/** The runner: wakes on what this process writes, looks for what others wrote, lets no reaction wait for another. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { keepReacting, type Reactor } from '../../src/jobs/keep-reacting.ts';
import { closeStore, inTransaction, openStore, type Store } from '../../src/store/db.ts';
import { appendEntry } from '../../src/store/journal.ts';
import { listWaiting } from '../../src/store/reactions.ts';
import type { Reaction } from '../../src/usecases/reaction.ts';
import { reaction } from '../../src/usecases/reaction.ts';
import { smallStore } from '../fixtures/small-store.ts';

let folder: string;
let store: Store;
let reactor: Reactor | undefined;
const ran: string[] = [];
const faults: unknown[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'feedround-runner-'));
  store = smallStore(join(folder, 'town.db'));
  ran.length = 0;
  faults.length = 0;
});
afterEach(async () => {
  await reactor?.stop();
  closeStore(store);
  rmSync(folder, { recursive: true, force: true });
});

const start = (reactions: readonly Reaction[], lookEveryMs = 1e9): void => {
  const planner = () => Promise.reject(new Error('no planner here'));
  const context = { store, now: () => 1000, newId: () => 'id', seed: 1, planner };
  reactor = keepReacting({ context, reactions, onFault: (error) => faults.push(error), lookEveryMs });
};
const enter = (subject: string, into: Store = store): void => {
  inTransaction(into, (tx) => appendEntry(tx, { at: 1, kind: 'entered', subject, actor: 'test', facts: {} }));
};
const noting = (name: string, prepare?: () => Promise<undefined>): Reaction =>
  reaction({
    name,
    on: ['entered'],
    ...(prepare ? { prepare } : {}),
    run: (_, entry) => void ran.push(`${name} ${entry.subject}`),
  });

test('an entry of this process is dealt with at once, without a look', async () => {
  start([noting('a'), noting('b')]);
  enter('x');
  enter('y');
  await reactor!.settled();
  expect(ran.sort()).toEqual(['a x', 'a y', 'b x', 'b y']);
});

test('an effect that is another reaction’s cause is followed to the end', async () => {
  const chain = reaction({
    name: 'enter-again',
    on: ['entered'],
    run: ({ tx, at }, { subject }) => {
      if (subject.length < 5)
        appendEntry(tx, { at, kind: 'entered', subject: `${subject}x`, actor: 'test', facts: {} });
    },
  });
  start([chain, noting('a')]);
  enter('x');
  await reactor!.settled();
  expect(ran).toEqual(['a x', 'a xx', 'a xxx', 'a xxxx', 'a xxxxx']);
});

test('an entry of another process is found at the next look', async () => {
  start([noting('a')], 5);
  const other = openStore(join(folder, 'town.db'));
  enter('elsewhere', other);
  closeStore(other);
  await vi.waitFor(() => expect(ran).toEqual(['a elsewhere']), { timeout: 30_000 });
});

test('a reaction that computes for long holds up no other, and a stop waits for its step only', async () => {
  let release = (): void => undefined;
  const slow = noting('slow', () => new Promise((done) => (release = () => done(undefined))));
  start([slow, noting('quick')]);
  enter('x');
  enter('y');
  await vi.waitFor(() => expect(ran).toEqual(['quick x', 'quick y']), { timeout: 30_000 });
  const stopped = reactor!.stop();
  release();
  await stopped;
  // The step under way came to its end; the next one waits in the database, and is taken at the next start.
  expect(ran.filter((line) => line.startsWith('slow'))).toEqual(['slow x']);
  start([noting('slow')]);
  await reactor!.settled();
  expect(ran.filter((line) => line.startsWith('slow'))).toEqual(['slow x', 'slow y']);
});

test('what fails is said, waits, and the rest goes on', async () => {
  const fails = reaction({
    name: 'fails',
    on: ['entered'],
    run: (_, { subject }) => {
      if (subject === 'x') throw new Error('no x');
      ran.push(subject);
    },
  });
  start([fails]);
  enter('x');
  enter('y');
  await reactor!.settled();
  expect(ran).toEqual(['y']);
  expect(faults.map(String)).toEqual(['Error: no x']);
  expect(listWaiting(store)).toMatchObject([{ reaction: 'fails', subject: 'x', attempts: 1 }]);
});
