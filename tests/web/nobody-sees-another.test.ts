/**
 * Nobody sees another's data: every route of the application, as the application itself lists them, is tried with the
 * ids of one donor's things by everybody else. A new route is tried unasked; a new kind of thing belongs into `IDS`.
 */
import type { Hono } from 'hono';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { createApp } from '../../src/app.ts';
import { keepPlanning } from '../../src/jobs/keep-planning.ts';
import { keepScored } from '../../src/jobs/keep-scored.ts';
import { keepWorth } from '../../src/jobs/keep-worth.ts';
import { yearsInPlace } from '../../src/jobs/years-in-place.ts';
import { listBookingsOfSite } from '../../src/store/bookings.ts';
import { closeStore, inTransaction } from '../../src/store/db.ts';
import { saveDonor } from '../../src/store/donors.ts';
import { saveDriver } from '../../src/store/drivers.ts';
import { getSite, saveSite } from '../../src/store/sites.ts';
import { recordWeighIn } from '../../src/store/weigh-ins.ts';
import { createLink, enter } from '../../src/usecases/access.ts';
import { announceSurge } from '../../src/usecases/announce-surge.ts';
import { quoteExtraCollection } from '../../src/usecases/quote-extra-collection.ts';
import { requestExtraCollection } from '../../src/usecases/request-extra-collection.ts';
import { scoreHistory } from '../../src/usecases/score-history.ts';
import { whoMay } from '../../src/web/shared/session.ts';
import { planInPlace } from '../fixtures/demo-app.ts';
import { publishedStore } from '../fixtures/published-store.ts';
import { aSite, aWeighIn } from '../fixtures/small-store.ts';

const ORIGIN = 'http://localhost:4321';
/** Words that stand only in the things of the donor who is spied upon: what there is, and whom to ask. */
const CONTENTS = ['zorilla', 'Ocelotta'];
/** Its name and where it is: a driver may know every place, for a donor who waves; nobody else may. */
const SECRETS = [...CONTENTS, 'Zebrawood', 'Quillfeather'];

function openTown() {
  const { store, context, stopIds, first } = publishedStore();
  const at = context.now();
  inTransaction(store, (tx) => {
    saveDonor(tx, { id: 'd2', key: 'donor-2', name: 'Zebrawood Stores' });
    const site = { ...aSite('s9'), donorId: 'd2', donorKey: 'donor-2', donorName: 'Zebrawood Stores' };
    saveSite(tx, {
      ...site,
      name: 'Zebrawood Stores, Quillfeather Yard',
      address: 'Quillfeather Lane 7',
      accessNotes: 'The zorilla bites.',
      contacts: [{ name: 'Ocelotta', phone: '+43 316 555 0100', email: 'zorilla@zoo.example' }],
    });
    saveDriver(tx, { id: 'p2', key: 'driver-2', name: 'Odo', costMicrosPerHour: 1, email: '' });
    recordWeighIn(tx, aWeighIn('w-secret', { siteId: 's9', at: at - 86_400, netKg: 13 }));
  });
  const wanted = {
    siteId: 's9',
    eventKind: 'festival' as const,
    eventEndsAt: at + 3600,
    expectedBags: 7,
    fromAt: at + 3600,
    untilAt: at + 3 * 86_400,
    remarks: 'behind the zorilla',
    hazards: '',
  };
  requestExtraCollection(context, { ...wanted, factId: 'secret-0001', requestedBy: 'donor:d2' });
  const quoted = quoteExtraCollection(context, { ...wanted, askedBy: 'donor:d2' });
  if (!quoted.ok) throw new Error(quoted.refusal.kind);
  announceSurge(context, {
    factId: 'surge-secret',
    siteId: 's9',
    eventKind: 'festival',
    name: 'zorilla race',
    startsAt: at,
    endsAt: at + 3600,
    expectedBags: 3,
    actor: 'donor:d2',
  });
  const link = createLink(context, { role: 'donor', subjectId: 'd2', actor: 'test', person: 'Ocelotta' });
  if (!link.ok) throw new Error('no donor');
  const fault = (error: unknown): void => {
    throw error;
  };
  const app = createApp({
    context,
    scores: keepScored(store, async (onPhase) => scoreHistory(store, onPhase), fault),
    worth: keepWorth(context, yearsInPlace, fault),
    planner: planInPlace,
    planning: keepPlanning(context, planInPlace, fault),
    origin: ORIGIN,
    onFault: fault,
  });
  const signIn = (role: 'donor' | 'driver', subjectId: string): string => {
    const own = createLink(context, { role, subjectId, actor: 'test' });
    if (!own.ok) throw new Error(`no ${role} ${subjectId}`);
    return enter(context, role, own.value.token)!.token;
  };
  return {
    store,
    app,
    signIn,
    /** One of every kind of thing that an address may name. */
    ids: [
      's9',
      listBookingsOfSite(store, 's9')[0]!.id,
      quoted.value.quote.id,
      'surge-secret',
      'w-secret',
      stopIds[0]!,
      first.id,
    ],
    /** What the donor has: must be the same after everybody tried. */
    standing: () =>
      JSON.stringify([
        getSite(store, 's9'),
        ...['bookings', 'surges', 'fill_reports', 'quotes', 'weigh_ins'].map((table) =>
          store.$client.prepare(`SELECT * FROM ${table} WHERE site_id = 's9' ORDER BY id`).all(),
        ),
        store.$client.prepare("SELECT * FROM access_tokens WHERE subject_id = 'd2' ORDER BY hash").all(),
      ]),
    body: {
      factId: 'attempt-0001',
      said: 'full',
      hash: link.value.hash,
      siteId: 's9',
      site_id: 's9',
      fraction: 1,
      fromDay: '2026-06-17',
      untilDay: '2026-06-19',
      reason: 'closed',
      name: 'Odo',
      accessNotes: 'none',
      eventKind: 'festival',
      eventEndsLocal: '2026-06-15T20:00',
      amount: '4',
      hazardNone: 'yes',
      slotFromAt: String(quoted.value.quote.slots[0]?.fromAt ?? 0),
      mark: 'started',
      netKg: '4',
    },
  };
}
type Town = ReturnType<typeof openTown>;
type Route = { readonly method: string; readonly path: string };

/** Handlers as they are mounted; what is mounted for every method at once is a guard, not a page. */
const routesOf = (app: Hono<never>): Route[] => [
  ...new Map(
    app.routes
      .filter(({ method }) => method !== 'ALL')
      .map(({ method, path }) => [`${method} ${path}`, { method, path }]),
  ).values(),
];

/** The route's address with `id` for every name in it, a year where it wants one. */
const addressOf = (path: string, id: string): string =>
  path.replaceAll(/:year\{[^}]*\}+/g, '2026').replaceAll(/:[A-Za-z]+(\{(?:[^{}]|\{[^}]*\})*\})?/g, id);

async function ask(town: Town, { method, path }: Route, id: string, token?: string) {
  const isApi = path.startsWith('/api/');
  const answer = await town.app.request(addressOf(path, id), {
    method,
    headers: {
      origin: ORIGIN,
      ...(token === undefined ? {} : { authorization: `Bearer ${token}` }),
      ...(isApi ? { 'content-type': 'application/json', 'idempotency-key': '"attempt-0001"' } : {}),
    },
    ...(method === 'GET' || method === 'HEAD'
      ? {}
      : { body: isApi ? JSON.stringify(town.body) : new URLSearchParams(town.body as never) }),
  });
  return { status: answer.status, text: await textOf(answer) };
}

/** A stream of events has no end: what comes at once is read, then it is let go. */
async function textOf(answer: Response): Promise<string> {
  if (!answer.headers.get('content-type')?.startsWith('text/event-stream')) return answer.text();
  const reader = answer.body!.getReader();
  let text = '';
  for (let chunks = 0; chunks < 3; chunks++) {
    const later = new Promise<undefined>((done) => setTimeout(() => done(undefined), 50));
    const read = await Promise.race([reader.read(), later]);
    if (!read?.value) break;
    text += new TextDecoder().decode(read.value);
  }
  await reader.cancel();
  return text;
}

let town: Town;
beforeEach(() => {
  town = openTown();
});
afterEach(() => closeStore(town.store));
const routes = (() => {
  const { app, store } = openTown();
  const found = routesOf(app as never);
  closeStore(store);
  return found;
})();
const guarded = routes.filter(({ path }) => whoMay(path) !== 'all');

test('the table of routes is read: it has the pages of all three people', () => {
  for (const path of ['/week', '/driver', '/donor', '/donor/quotes/:id/take', '/api/donor/sites'])
    expect(routes.map((route) => route.path)).toContain(path);
  expect(guarded.length).toBeGreaterThan(80);
});

test('the donor itself sees what is kept from the others: the words would be found', async () => {
  const token = town.signIn('donor', 'd2');
  const page = await ask(town, { method: 'GET', path: '/donor' }, '', token);
  expect(page.status).toBe(200);
  for (const word of ['Zebrawood', 'Quillfeather', 'Ocelotta']) expect(page.text).toContain(word);
  const place = await ask(town, { method: 'GET', path: '/donor/sites/:id/place' }, 's9', token);
  expect(place.text).toContain('zorilla');
});

describe.each([
  ['a stranger', undefined],
  ['another donor', ['donor', 'd1']],
  ['a driver with no round', ['driver', 'p2']],
] as const)('%s', (_name, who) => {
  test('is refused or shown nothing of it, on every route, and changes nothing', async () => {
    const token = who && town.signIn(who[0], who[1]);
    const before = town.standing();
    for (const route of guarded) {
      const isTheirs = who?.[0] === whoMay(route.path);
      for (const id of isTheirs ? town.ids : town.ids.slice(0, 1)) {
        const { status, text } = await ask(town, route, id, token);
        const asked = `${route.method} ${route.path} ${id}: ${status}`;
        if (!isTheirs) expect([401, 403], asked).toContain(status);
        expect(status, asked).toBeLessThan(500);
        const hidden = isTheirs && who?.[0] === 'driver' ? CONTENTS : SECRETS;
        for (const word of hidden) expect(text.includes(word), `${asked} says ${word}`).toBe(false);
        // A route that names something must not answer as if it were theirs.
        if (isTheirs && route.path.includes(':id')) expect(status, asked).toBeGreaterThanOrEqual(400);
      }
    }
    expect(town.standing()).toBe(before);
  }, 60_000);
});

test('routes that are open to all say nothing of a donor either', async () => {
  for (const route of routes.filter(({ path }) => whoMay(path) === 'all'))
    for (const id of town.ids) {
      const { text } = await ask(town, route, id);
      for (const word of SECRETS) expect(text.includes(word), `${route.method} ${route.path}`).toBe(false);
    }
});
