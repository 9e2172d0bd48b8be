/** What open pages hear, over real HTTP: everything once, in order, after a gap too, and only what is one's business. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { serve as listen } from '@hono/node-server';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { createApp } from '../../src/app.ts';
import type { Role } from '../../src/core/vocabulary.ts';
import { serve } from '../../src/main.ts';
import { closeStore, inTransaction } from '../../src/store/db.ts';
import { saveDonor } from '../../src/store/donors.ts';
import { appendEntry, lastSeq } from '../../src/store/journal.ts';
import { getPlan, savePlan } from '../../src/store/plans.ts';
import { saveSite } from '../../src/store/sites.ts';
import { createLink, enter, revokeLink } from '../../src/usecases/access.ts';
import { publishPlan } from '../../src/usecases/publish-plan.ts';
import { reportFull } from '../../src/usecases/report-full.ts';
import { takeVanOffRoad } from '../../src/usecases/take-van-off-road.ts';
import { entryStream, MAX_REPLAY } from '../../src/web/live/entry-stream.ts';
import { planInPlace } from '../fixtures/demo-app.ts';
import { listenTo } from '../fixtures/event-stream.ts';
import { aPlanOnItsDays, DAY_START_AT, publishedStore } from '../fixtures/published-store.ts';
import { aSite } from '../fixtures/small-store.ts';

const { store, context } = publishedStore();
inTransaction(store, (tx) => {
  saveDonor(tx, { id: 'd2', key: 'donor-2', name: 'Second donor' });
  // Of the other donor, and on nobody's round.
  saveSite(tx, aSite('far', { donorId: 'd2', donorKey: 'donor-2', donorName: 'Second donor' }));
});
const faults: unknown[] = [];
let origin = '';
let close: () => void;
beforeAll(async () => {
  const unused = { read: () => Promise.reject(new Error('not asked for here')) };
  await new Promise<void>((ready) => {
    let app: ReturnType<typeof createApp> | undefined;
    const server = listen(
      { fetch: (request) => app!.fetch(request), hostname: '127.0.0.1', port: 0 },
      (info) => {
        origin = `http://127.0.0.1:${info.port}`;
        app = createApp({
          context,
          planner: planInPlace,
          scores: unused,
          worth: unused as never,
          planning: unused as never,
          origin,
          onFault: (error) => faults.push(error),
        });
        ready();
      },
    );
    close = () => server.close();
  });
});
afterAll(() => {
  close();
  closeStore(store);
  expect(faults).toEqual([]);
});

type Heard = Awaited<ReturnType<typeof listenTo>>;
const open: Heard[] = [];
afterEach(async () => {
  for (const heard of open.splice(0)) {
    heard.leave();
    await heard.ended;
  }
});

const PATHS = { coordinator: '/live', driver: '/live/driver', donor: '/live/donor' } as const;
function linkOf(role: Role, subjectId: string) {
  const link = createLink(context, { role, subjectId, actor: 'test' });
  if (!link.ok) throw new Error(`there is no ${role} ${subjectId}`);
  return { hash: link.value.hash, session: enter(context, role, link.value.token)!.token };
}
async function hear(
  role: Role,
  subjectId: string,
  {
    after = '',
    lastEventId,
    session = linkOf(role, subjectId).session,
  }: { after?: string | number; lastEventId?: string; session?: string } = {},
): Promise<Heard> {
  const heard = await listenTo(`${origin}${PATHS[role]}?after=${after}`, {
    cookie: `feedround-${role}=${session}`,
    ...(lastEventId === undefined ? {} : { 'last-event-id': lastEventId }),
  });
  open.push(heard);
  expect(heard.answer.status).toBe(200);
  return heard;
}

let facts = 0;
/** Gives the place of the entry. */
const full = (siteId: string, reportedBy = 'donor:d1'): number => {
  const factId = `full-${++facts}`;
  expect(reportFull(context, { factId, siteId, at: context.now(), fraction: 1, reportedBy }).ok).toBe(true);
  return lastSeq(store);
};
const toldSeqs = ({ events }: Heard): number[] =>
  events.filter(({ event }) => event === 'told').map(({ id }) => Number(id));
const isTold = (seq: number) => (event: { event?: string | undefined; id?: string | undefined }) =>
  event.event === 'told' && event.id === String(seq);

test('an open stream tells of what is written, at once and in words', async () => {
  const heard = await hear('coordinator', 'workshop');
  expect(heard.answer.headers.get('content-type')).toBe('text/event-stream');
  expect(heard.answer.headers.get('content-encoding')).toBeNull();
  await heard.until(({ event }) => event === 'here');
  expect(heard.retryMs()).toBe(3000);
  const seq = full('s1');
  const told = await heard.until(isTold(seq));
  expect(JSON.parse(told.data)).toEqual({
    seq,
    kind: 'container-reported-full',
    subject: 'site:s1',
    time: '10:00',
    text: 'Site s1: reported full.',
    isNews: true,
  });
});

test('after a gap, exactly what was missed, once and in order, then what comes; by header and by address', async () => {
  const { session } = linkOf('coordinator', 'workshop');
  const first = await hear('coordinator', 'workshop', { session });
  const before = full('s1');
  await first.until(isTold(before));
  first.leave();
  await first.ended;
  const missed = Array.from({ length: 40 }, (_, n) => full(n % 2 === 0 ? 's1' : 'far'));
  for (const way of [{ lastEventId: String(before), after: 1 }, { after: before }]) {
    const again = await hear('coordinator', 'workshop', { session, ...way });
    await again.until(isTold(missed.at(-1)!));
    const fresh = full('s2');
    await again.until(isTold(fresh));
    expect(toldSeqs(again)).toEqual([...missed, fresh]);
    missed.push(fresh);
  }
});

test('many open streams of one person hear the same, each once', async () => {
  const { session } = linkOf('coordinator', 'workshop');
  const tabs = await Promise.all(
    Array.from({ length: 12 }, () => hear('coordinator', 'workshop', { session })),
  );
  await Promise.all(tabs.map((tab) => tab.until(({ event }) => event === 'here')));
  const written = Array.from({ length: 20 }, () => full('s1'));
  await Promise.all(tabs.map((tab) => tab.until(isTold(written.at(-1)!))));
  for (const tab of tabs) expect(toldSeqs(tab)).toEqual(written);
});

test('after too long a gap, or with a place that is none, one reset instead', async () => {
  const start = lastSeq(store);
  inTransaction(store, (tx) => {
    for (let n = 0; n <= MAX_REPLAY; n++)
      appendEntry(tx, {
        at: context.now(),
        kind: 'entered',
        subject: 'driver:p1',
        actor: 'driver:p1',
        facts: {},
      });
  });
  const end = lastSeq(store);
  for (const after of [start, end + 1000, 'nonsense']) {
    const heard = await hear('coordinator', 'workshop', { after });
    await heard.until(({ event }) => event === 'reset');
    const next = full('s1');
    await heard.until(isTold(next));
    expect(heard.events.map(({ event }) => event)).toEqual(['reset', 'told']);
    expect(Number(heard.events[0]!.id)).toBeGreaterThanOrEqual(end);
  }
  // One fewer is still told one by one.
  const { session } = linkOf('coordinator', 'workshop');
  const last = lastSeq(store);
  const heard = await hear('coordinator', 'workshop', { session, after: last - MAX_REPLAY });
  await heard.until(isTold(last));
  expect(toldSeqs(heard)).toHaveLength(MAX_REPLAY);
  expect(heard.events.some(({ event }) => event === 'reset')).toBe(false);
});

test('a donor hears of the own sites and of other times of visits, of nothing else', async () => {
  const [mine, theirs] = [await hear('donor', 'd1'), await hear('donor', 'd2')];
  await Promise.all([mine, theirs].map((one) => one.until(({ event }) => event === 'here')));
  const own = full('s1');
  const other = full('far');
  takeVanOffRoad(context, {
    vanId: 'v1',
    fromAt: DAY_START_AT + 20 * 86_400,
    reason: 'brakes',
    actor: 'test',
  });
  const published = publishLater();
  const last = [full('s2'), full('far')] as const;
  await Promise.all([mine.until(isTold(last[0])), theirs.until(isTold(last[1]))]);
  expect(toldSeqs(mine)).toEqual([own, published, last[0]]);
  expect(toldSeqs(theirs)).toEqual([other, last[1]]);
  expect(mine.events.find(isTold(published))!.data).toContain('Site s1, Site s2: we come at another time.');
});

/** The same plan, all of it some minutes later, in place of what was published. */
function publishLater(): number {
  const plan = aPlanOnItsDays();
  const id = `later-${lastSeq(store)}`;
  const later = <T extends object>(timed: T): T =>
    Object.fromEntries(
      Object.entries(timed).map(([name, is]) => [name, name.endsWith('At') ? (is as number) + shiftS : is]),
    ) as T;
  const rounds = plan.rounds.map((round) => ({ ...later(round), stops: round.stops.map(later) }));
  inTransaction(store, (tx) =>
    savePlan(tx, { id, plan: { ...plan, rounds }, inputHash: id, createdAt: context.now() }, context.newId),
  );
  expect(publishPlan(context, { planId: id, actor: 'test' }).ok).toBe(true);
  expect(getPlan(store, id)!.state).toBe('published');
  shiftS += 600;
  return lastSeq(store);
}
let shiftS = 600;

test('a driver hears of what touches the own rounds, not of the own doing', async () => {
  const heard = await hear('driver', 'p1');
  await heard.until(({ event }) => event === 'here');
  const onRound = full('s1');
  full('far');
  full('s1', 'driver:p1');
  const published = publishLater();
  const last = full('s2');
  await heard.until(isTold(last));
  expect(toldSeqs(heard)).toEqual([onRound, published, last]);
  expect(heard.events.find(isTold(published))!.data).toContain('Your rounds have changed.');
});

test('without a session, or with another’s, there is nothing to hear', async () => {
  expect((await fetch(`${origin}/live`)).status).toBe(401);
  const { session } = linkOf('donor', 'd1');
  for (const path of ['/live', '/live/driver'])
    expect((await fetch(origin + path, { headers: { cookie: `feedround-donor=${session}` } })).status).toBe(
      403,
    );
  const head = await fetch(`${origin}/live/donor`, {
    method: 'HEAD',
    headers: { cookie: `feedround-donor=${session}` },
  });
  expect(head.status).toBe(200);
});

test('who was shut out hears no more', async () => {
  const link = linkOf('donor', 'd2');
  const heard = await hear('donor', 'd2', link);
  await heard.until(({ event }) => event === 'here');
  const before = full('far');
  await heard.until(isTold(before));
  expect(revokeLink(context, { hash: link.hash, actor: 'test' }).ok).toBe(true);
  full('far');
  await heard.ended;
  expect(toldSeqs(heard)).toEqual([before]);
});

test('one person cannot hold more than forty; one that is left makes room', async () => {
  const { session } = linkOf('donor', 'd2');
  const all = await Promise.all(Array.from({ length: 40 }, () => hear('donor', 'd2', { session })));
  const headers = { cookie: `feedround-donor=${session}` };
  const over = await fetch(`${origin}/live/donor`, { headers });
  expect(over.status).toBe(429);
  await over.text();
  all[0]!.leave();
  await all[0]!.ended;
  await expect
    .poll(async () => {
      const again = await fetch(`${origin}/live/donor`, { headers });
      await again.body?.cancel();
      return again.status;
    })
    .toBe(200);
});

test('a silent stream shows signs of life, and its place where that moved', async () => {
  const stopping = new AbortController();
  let ended = 0;
  const stream = entryStream({
    store,
    afterSeq: undefined,
    teller: () => () => undefined,
    mayListen: () => true,
    stopping: stopping.signal,
    onEnd: () => void ended++,
    heartbeatMs: 0,
  });
  const reader = stream.getReader();
  const read = async () => new TextDecoder().decode((await reader.read()).value);
  const place = lastSeq(store);
  expect(await read()).toBe(`retry: 3000\nevent: here\nid: ${place}\ndata: {"seq":${place}}\n\n`);
  expect(await read()).toBe(': still here\n\n');
  const seq = full('s1');
  expect(await read()).toContain(`id: ${seq}\n`);
  stopping.abort();
  expect((await reader.read()).done).toBe(true);
  expect(ended).toBe(1);
});

test('a server that stops waits for no open stream', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'feedround-live-'));
  const own = publishedStore(join(folder, 'town.db'));
  const served = await serve(own.context, {
    databasePath: '',
    host: '127.0.0.1',
    port: 0,
    origin: undefined,
  });
  const link = createLink(own.context, { role: 'coordinator', subjectId: 'workshop', actor: 'test' });
  const session = link.ok ? enter(own.context, 'coordinator', link.value.token)!.token : '';
  const heard = await Promise.all(
    Array.from({ length: 5 }, () =>
      listenTo(`${served.origin}/live`, { cookie: `feedround-coordinator=${session}` }),
    ),
  );
  await Promise.all(heard.map((one) => one.until(({ event }) => event === 'here')));
  // It would wait for ever, or for the time after which an idle connection is let go.
  await served.stop();
  await Promise.all(heard.map((one) => one.ended));
  closeStore(own.store);
  rmSync(folder, { recursive: true, force: true });
});
