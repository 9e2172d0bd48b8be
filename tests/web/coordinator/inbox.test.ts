/** The inbox: each thing with its numbers and one thing to do; counted in the masthead; every way on leads somewhere. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { inTransaction } from '../../../src/store/db.ts';
import { publishedPlan } from '../../../src/store/plans.ts';
import { saveWaiting } from '../../../src/store/reactions.ts';
import { listSites } from '../../../src/store/sites.ts';
import { listVans, saveVan } from '../../../src/store/vans.ts';
import { planWeek } from '../../../src/usecases/plan-week.ts';
import { publishPlan } from '../../../src/usecases/publish-plan.ts';
import { requestExtraCollection } from '../../../src/usecases/request-extra-collection.ts';
import { dueWords, itemWords } from '../../../src/web/coordinator/inbox/inbox-words.ts';
import { readInbox } from '../../../src/web/coordinator/inbox/read-inbox.ts';
import { type Demo, openDemo, planInPlace } from '../../fixtures/demo-app.ts';
import { INBOX_ITEMS, inboxView, NOW_AT } from '../../fixtures/inbox-view.ts';
import { previewApp } from '../../fixtures/preview-app.ts';

const plain = (html: string): string => html.replaceAll(/<[^>]+>/g, ' ').replaceAll(/[\s\u00a0]+/g, ' ');
const { names } = inboxView();

test.each(INBOX_ITEMS.map((item) => [item.kind, item] as const))(
  '%s is said with one thing to do',
  (_kind, item) => {
    const { what, facts, act } = itemWords(item, names);
    expect(what).not.toMatch(/[.!]$/);
    expect(facts).toMatch(/[.a-z]$/);
    expect(act.label).toMatch(/^[A-Z]/);
    expect(act.to).toMatch(/^\/[a-z]/);
  },
);

test('numbers come with their units', () => {
  const short = itemWords(INBOX_ITEMS.find(({ kind }) => kind === 'runs-short')!, names).facts;
  expect(plain(short)).toBe(
    'From Friday 6 March on: 40 % chance, about 84 kg to buy in by the end of the plan.',
  );
});

test('a promise without a shift leads to the vans, one that is closed to the site', () => {
  const promise = INBOX_ITEMS.find((item) => item.kind === 'promise-not-kept')!;
  if (promise.kind !== 'promise-not-kept') throw new Error('no promise');
  expect(itemWords(promise, names).act.to).toBe('/fleet?from=2026-03-04');
  const closed = {
    ...promise,
    promise: { ...promise.promise, why: 'closed', mend: 'wider-window' },
  } as const;
  expect(itemWords(closed, names).act.to).toBe('/sites/site-3');
});

test.each([
  [NOW_AT - 5, 'now'],
  [NOW_AT + 3600, 'today'],
  [NOW_AT + 86_400, 'Tue 3 Mar'],
])('what is due at %i is due %s', (dueAt, words) => {
  expect(dueWords(dueAt, NOW_AT, '2026-03-02', 'UTC')).toBe(words);
});

test('an empty inbox says what would come here', async () => {
  const html = await (await previewApp({ readInbox: () => inboxView([]) }).request('/inbox')).text();
  expect(plain(html)).toContain('Nothing waits.');
  expect(plain(html)).toContain('A check is due within three weeks.');
});

let demo: Demo;
beforeAll(async () => {
  demo = await openDemo();
});
afterAll(() => demo.close());

test('the demo town before its first plan: that is what is said first', () => {
  const [first] = readInbox(demo.context.store, demo.context.now()).items;
  expect(first!.item).toEqual({ kind: 'plan-ends', lastDay: undefined });
});

test('what happens comes in by itself, the most urgent first, and every way on leads somewhere', async () => {
  const { context } = demo;
  const { store } = context;
  const { planId } = await planWeek(context, planInPlace, { seed: 1, iterations: 50, actor: 'test' });
  publishPlan(context, { planId, actor: 'test' });
  const count = () => readInbox(store, context.now()).items.length;
  const before = count();
  const at = context.now();
  requestExtraCollection(context, {
    factId: 'waits-0001',
    siteId: listSites(store)[0]!.id,
    eventKind: 'festival',
    eventEndsAt: at + 3600,
    expectedBags: 900,
    fromAt: at + 3600,
    untilAt: at + 4 * 86_400,
    remarks: '',
    hazards: '',
    requestedBy: 'test',
  });
  inTransaction(store, (tx) => {
    saveVan(tx, { ...listVans(tx)[0]!, checkDueDay: '2026-06-30' });
    saveWaiting(tx, {
      reaction: 'reconsider-plan',
      seq: 1,
      subject: 'site:x',
      attempts: 9,
      nextAt: null,
      error: 'broken',
    });
  });
  const { items } = readInbox(store, at);
  expect(count()).toBe(before + 3);
  expect(items.map(({ dueAt }) => dueAt)).toEqual(items.map(({ dueAt }) => dueAt).toSorted((a, b) => a - b));
  const kinds = items.map(({ item }) => item.kind);
  expect(kinds[0]).toBe('reaction-parked');
  expect(kinds).toContain('booking-waits');
  expect(kinds).toContain('van-check');

  const token = demo.signIn('coordinator');
  const get = (path: string) => demo.app.request(path, { headers: { authorization: `Bearer ${token}` } });
  for (const { item } of items) {
    const { act } = itemWords(item, names);
    if (!act.isForm) expect((await get(act.to)).status, act.to).toBe(200);
  }
  const html = await (await get('/sites')).text();
  expect(html).toContain(`<b class="nav-count">${items.length} `);
  expect(plain(await (await get('/inbox')).text())).toContain('things wait for a person');
});

test('a plan that was published to the end of the week is asked for again before it ends, not in between', () => {
  const { store } = demo.context;
  const lastDay = publishedPlan(store)!.plan.days.at(-1)!;
  const kinds = (day: string) =>
    readInbox(store, Date.parse(`${day}T10:00:00Z`) / 1000).items.map(({ item }) => item.kind);
  expect(kinds('2026-06-16')).not.toContain('plan-ends');
  expect(kinds(lastDay)).toContain('plan-ends');
});
