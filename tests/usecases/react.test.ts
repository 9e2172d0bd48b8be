/** The engine's promises, with reactions made for the purpose: every entry once, in order by subject, and what fails. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { closeStore, inTransaction, type Store } from '../../src/store/db.ts';
import { appendEntry, lastSeq, readEntriesAbout } from '../../src/store/journal.ts';
import { countGivenUp, getCursor, listWaiting } from '../../src/store/reactions.ts';
import {
  beginReactions,
  type Reacting,
  setReactionAside,
  takeStep,
  tryReactionAgain,
} from '../../src/usecases/react.ts';
import { type Declared, reaction } from '../../src/usecases/reaction.ts';
import { smallStore } from '../fixtures/small-store.ts';

let store: Store;
let nowAt: number;
let context: Reacting;
const said: string[] = [];

beforeEach(() => {
  store = smallStore();
  store.$client.exec('CREATE TABLE effects (note TEXT NOT NULL)');
  nowAt = 1_000_000;
  said.length = 0;
  context = {
    store,
    now: () => nowAt,
    newId: () => 'id',
    seed: 7,
    planner: () => Promise.reject(new Error('no planner here')),
    signal: new AbortController().signal,
    onFault: (error) => said.push(String(error)),
  };
});
afterEach(() => closeStore(store));

const enter = (subject: string): number =>
  inTransaction(store, (tx) =>
    appendEntry(tx, { at: nowAt, kind: 'entered', subject, actor: 'test', facts: {} }),
  );
const effects = (): string[] =>
  store.$client.prepare('SELECT note FROM effects ORDER BY rowid').pluck().all() as string[];
/** Writes a row for each entry, and then breaks where it is told to: the row must go with it. */
const noting = (
  breaksOn: (subject: string) => boolean = () => false,
  over: Partial<Declared<'entered', undefined>> = {},
) =>
  reaction({
    name: 'note-who-entered',
    on: ['entered'],
    run: (_, { subject, seq }) => {
      store.$client.prepare('INSERT INTO effects VALUES (?)').run(`${subject} ${seq}`);
      if (breaksOn(subject)) throw new Error(`no ${subject} today`);
    },
    ...over,
  });
const walk = async (...args: Parameters<typeof noting>): Promise<string[]> => {
  const one = noting(...args);
  const steps: string[] = [];
  for (;;) {
    const step = await takeStep(context, one);
    if (step === 'nothing') return steps;
    steps.push(step);
  }
};
const begin = () => beginReactions(context, [noting()]);

test('begins with what happens from now on, and goes on from where it was', async () => {
  enter('a');
  begin();
  const second = enter('b');
  begin();
  expect(await walk()).toEqual(['did']);
  expect(await walk()).toEqual([]);
  expect(effects()).toEqual([`b ${second}`]);
  expect(getCursor(store, 'note-who-entered')).toBe(second);
});

test('a reaction that never began is a broken assumption, not a silent start', async () => {
  await expect(takeStep(context, noting())).rejects.toThrow(/beginReactions/);
});

describe('an entry that fails', () => {
  test('leaves nothing of its effect and holds up its own subject only', async () => {
    begin();
    const [a1, b1, a2, b2] = ['a', 'b', 'a', 'b'].map(enter);
    expect(await walk((subject) => subject === 'a')).toEqual(['failed', 'did', 'held-up', 'did']);
    expect(effects()).toEqual([`b ${b1}`, `b ${b2}`]);
    expect(listWaiting(store)).toMatchObject([
      { seq: a1, subject: 'a', attempts: 1, error: 'no a today' },
      { seq: a2, subject: 'a', attempts: 0, error: '' },
    ]);
    expect(said).toEqual(['Error: no a today']);
    // Not before its time.
    expect(await walk()).toEqual([]);
    nowAt += 2;
    expect(await walk()).toEqual(['did', 'did']);
    expect(effects().slice(2)).toEqual([`a ${a1}`, `a ${a2}`]);
    expect(listWaiting(store)).toEqual([]);
  });

  test('is tried later and later, given up, and waits for a person', async () => {
    begin();
    const seq = enter('a');
    const later = enter('a');
    const waits: number[] = [];
    while (countGivenUp(store) === 0) {
      await walk(() => true);
      const next = listWaiting(store)[0]!.nextAt;
      if (next === null) break;
      waits.push(next - nowAt);
      nowAt = next;
    }
    // 2 s doubled up to half an hour, half of each drawn: 11 waits between 12 tries.
    expect(waits).toHaveLength(11);
    waits.forEach((wait, i) => {
      const wholeS = Math.min(1800, 2 * 2 ** i);
      expect(wait).toBeGreaterThanOrEqual(wholeS / 2);
      expect(wait).toBeLessThanOrEqual(wholeS);
    });
    nowAt += 1_000_000;
    expect(await walk()).toEqual([]);
    expect(listWaiting(store)).toMatchObject([
      { seq, attempts: 12, nextAt: null },
      { seq: later, attempts: 0 },
    ]);
    expect(readEntriesAbout(store, 'reaction:note-who-entered')).toMatchObject([
      { kind: 'reaction-parked', facts: { seq, error: 'no a today' } },
    ]);
  });

  test('the same seed gives the same waits, another seed others', async () => {
    const waitsWith = async (seed: number) => {
      const own = smallStore();
      own.$client.exec('CREATE TABLE effects (note TEXT NOT NULL)');
      [store, context] = [own, { ...context, store: own, seed }];
      begin();
      for (const subject of ['a', 'b', 'c', 'd', 'e', 'f']) enter(subject);
      for (let i = 0; i < 6; i++, nowAt += 1800) await walk(() => true);
      return listWaiting(own).map(({ nextAt }) => nextAt! - nowAt);
    };
    const from = nowAt;
    const first = await waitsWith(1);
    nowAt = from;
    const again = await waitsWith(1);
    nowAt = from;
    expect([again, await waitsWith(2)]).toEqual([first, expect.not.arrayContaining(first)]);
  });
});

describe('what was given up', () => {
  const giveUp = async () => {
    begin();
    const seqs = [enter('a'), enter('a')];
    while (countGivenUp(store) === 0) {
      await walk(() => true);
      nowAt += 1800;
    }
    return { reaction: 'note-who-entered', seq: seqs[0]!, later: seqs[1]!, actor: 'coordinator' };
  };

  test('is tried again, with all its tries, and then the later ones', async () => {
    const { later, ...asked } = await giveUp();
    expect(tryReactionAgain(context, asked)).toMatchObject({ ok: true });
    expect(await walk(() => true)).toEqual(['failed']);
    nowAt += 2;
    expect(await walk()).toEqual(['did', 'did']);
    expect(effects()).toEqual([`a ${asked.seq}`, `a ${later}`]);
  });

  test('is set aside for good, and the later ones go on', async () => {
    const { later, ...asked } = await giveUp();
    expect(setReactionAside(context, asked)).toMatchObject({ ok: true });
    expect(await walk()).toEqual(['did']);
    expect(effects()).toEqual([`a ${later}`]);
    const refused = { ok: false, refusal: { kind: 'no-such-waiting-entry' } };
    expect(setReactionAside(context, asked)).toEqual(refused);
    expect(tryReactionAgain(context, asked)).toEqual(refused);
  });
});

test('an entry that another process dealt with while it was prepared takes effect once', async () => {
  begin();
  enter('a');
  const other = noting();
  const steps: string[] = [];
  await walk(() => false, {
    prepare: async () => {
      steps.push(await takeStep(context, other));
      return undefined;
    },
  });
  expect(steps).toEqual(['did']);
  expect(effects()).toHaveLength(1);
});

test('the cursor steps over what does not concern it, and passes nothing over', async () => {
  begin();
  const began = getCursor(store, 'note-who-entered')!;
  inTransaction(store, (tx) => {
    for (let i = 0; i < 250; i++)
      appendEntry(tx, { at: 1, kind: 'left', subject: 'a', actor: 'test', facts: {} });
  });
  expect(await walk()).toEqual([]);
  expect(getCursor(store, 'note-who-entered')).toBe(began + 250);
  enter('a');
  expect(await walk()).toEqual(['did']);
  expect(getCursor(store, 'note-who-entered')).toBe(lastSeq(store));
});

test('facts that are not those of their kind are a failure that says so', async () => {
  begin();
  store.$client
    .prepare(
      "INSERT INTO journal (at, kind, subject, actor, facts) VALUES (1, 'entered', 'a', 'x', '{\"b\":1}')",
    )
    .run();
  expect(await walk(undefined, { subjectOf: ({ facts }) => String(facts) })).toEqual(['failed']);
  expect(listWaiting(store)[0]!.error).toMatch(/facts of entry \d+ \(entered\)/);
});
