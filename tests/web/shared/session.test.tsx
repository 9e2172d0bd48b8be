import { Hono } from 'hono';
import { expect, test } from 'vitest';
import type { Role } from '../../../src/core/vocabulary.ts';
import { entryPages } from '../../../src/web/shared/entry.tsx';
import { securityHeaders } from '../../../src/web/shared/security.ts';
import {
  type AccessDeps,
  defaultDeny,
  refuseForeignPosts,
  type SessionEnv,
} from '../../../src/web/shared/session.ts';

const ORIGIN = 'http://localhost:4180';
const LINK = 'link-of-the-driver-0123456789';
const OWN = { origin: ORIGIN };

/** Links and sessions in memory; a link may be used once, so that using it up can be seen. */
function world(origin = ORIGIN) {
  const links = new Map<string, Role>([[LINK, 'driver']]);
  const sessions = new Map<string, Role>();
  const deps: AccessDeps = {
    origin,
    now: () => 1000,
    findSession: (token) => {
      const role = sessions.get(token);
      return role && { role, subjectId: 'someone', label: 'Ina', expiresAt: 9000 };
    },
    findLink: (role, token) => (links.get(token) === role ? { label: 'Ina' } : undefined),
    enter: (role, token) => {
      if (links.get(token) !== role) return undefined;
      links.delete(token);
      const session = `session-of-${role}-0123456789`;
      sessions.set(session, role);
      return { token: session, expiresAt: 9000 };
    },
    leave: (token) => void sessions.delete(token),
  };
  const app = new Hono<SessionEnv>()
    .use(securityHeaders())
    .use(refuseForeignPosts(deps))
    .use(defaultDeny(deps))
    .route('/', entryPages({ ...deps, linkCommand: 'npx feedround link coordinator' }))
    .get('/driver', (c) => c.text(`hello ${c.var.session.label}`))
    .post('/driver/note', (c) => c.text('noted'))
    .get('/week', (c) => c.text('the week'))
    .get('/api/plans', (c) => c.text('plans'));
  return { app, links, sessions };
}

const enter = (app: ReturnType<typeof world>['app'], headers: Record<string, string> = OWN) =>
  app.request(`${ORIGIN}/enter/driver/${LINK}`, { method: 'POST', headers });
const cookieOf = (answer: Response) => (answer.headers.get('set-cookie') ?? '').split(';')[0]!;

test('opening a link, as a mail scanner does, does not use it up', async () => {
  const { app, links } = world();
  const page = await app.request(`${ORIGIN}/enter/driver/${LINK}`);
  expect(page.status).toBe(200);
  expect(await page.text()).toContain('<button class="primary" type="submit">Come in</button>');
  expect(page.headers.get('set-cookie')).toBeNull();
  expect(page.headers.get('cache-control')).toBe('no-store');
  expect(links.has(LINK)).toBe(true);
});

test('the button exchanges the link for a session that opens the own page only', async () => {
  const { app } = world();
  const entered = await enter(app);
  expect([entered.status, entered.headers.get('location')]).toEqual([303, '/driver']);
  const headers = { cookie: cookieOf(entered) };
  expect(await (await app.request(`${ORIGIN}/driver`, { headers })).text()).toBe('hello Ina');
  const week = await app.request(`${ORIGIN}/week`, { headers });
  expect(week.status).toBe(403);
  expect(await week.text()).toContain('This is for someone else');
});

test('a link that was used says so and lets nobody in', async () => {
  const { app } = world();
  await enter(app);
  const again = await enter(app);
  expect(again.status).toBe(410);
  expect(again.headers.get('set-cookie')).toBeNull();
});

test('a link of one role does not open another', async () => {
  const { app } = world();
  const answer = await app.request(`${ORIGIN}/enter/coordinator/${LINK}`, { method: 'POST', headers: OWN });
  expect(answer.status).toBe(410);
});

test('the cookie is HttpOnly and Lax, and Secure with the host prefix under https', async () => {
  const plain = (await enter(world().app)).headers.get('set-cookie') ?? '';
  expect(plain).toMatch(/^feedround-driver=.*HttpOnly/);
  expect(plain).toContain('SameSite=Lax');
  expect(plain).not.toContain('Secure');
  const origin = 'https://film.example';
  const safe = await world(origin).app.request(`${origin}/enter/driver/${LINK}`, {
    method: 'POST',
    headers: { origin },
  });
  expect(safe.headers.get('set-cookie')).toMatch(/^__Host-feedround-driver=.*Path=\/.*HttpOnly; Secure/);
});

test('leaving ends the session on the server, not only in the browser', async () => {
  const { app, sessions } = world();
  const cookie = cookieOf(await enter(app));
  const left = await app.request(`${ORIGIN}/leave`, {
    method: 'POST',
    headers: { ...OWN, cookie, 'content-type': 'application/x-www-form-urlencoded' },
    body: 'role=driver',
  });
  expect(left.status).toBe(303);
  expect(sessions.size).toBe(0);
  expect((await app.request(`${ORIGIN}/driver`, { headers: { cookie } })).status).toBe(401);
});

test.each(['/driver', '/week', '/a-route-that-nobody-has-written', '/api/plans', '/driver-like'])(
  '%s is closed without a session',
  async (path) => {
    const answer = await world().app.request(`${ORIGIN}${path}`);
    expect(answer.status).toBe(401);
  },
);

test('the interface answers a missing session with a problem document', async () => {
  const answer = await world().app.request(`${ORIGIN}/api/plans`);
  expect(answer.headers.get('content-type')).toBe('application/problem+json');
  expect(await answer.json()).toEqual({
    type: '/problems/sign-in-needed',
    title: 'Sign in first',
    status: 401,
    instance: '/api/plans',
  });
});

test.each([
  ['from another site', { 'sec-fetch-site': 'cross-site', origin: ORIGIN }],
  ['from a neighbour on the same domain', { 'sec-fetch-site': 'same-site' }],
  ['with another origin', { origin: 'https://elsewhere.example' }],
  ['with an opaque origin', { origin: 'null' }],
  ['that says nothing of where it comes from', {}],
])('a form %s changes nothing', async (_, headers) => {
  const { app, links } = world();
  expect((await enter(app, headers as Record<string, string>)).status).toBe(403);
  expect(links.has(LINK)).toBe(true);
});

test('a form from our own page is taken, as the browser tells it', async () => {
  expect((await enter(world().app, { 'sec-fetch-site': 'same-origin' })).status).toBe(303);
});

test('a bearer token needs no origin: no browser adds one unasked', async () => {
  const { app } = world();
  const token = cookieOf(await enter(app)).split('=')[1]!;
  const answer = await app.request(`${ORIGIN}/driver/note`, {
    method: 'POST',
    headers: { authorization: `Bearer ${token}` },
  });
  expect(await answer.text()).toBe('noted');
});

test('pages forbid inline and foreign scripts, frames and foreign sources', async () => {
  const policy = (await world().app.request(`${ORIGIN}/sign-in`)).headers.get('content-security-policy');
  expect(policy).toContain("default-src 'none'");
  expect(policy).toContain("script-src 'self';");
  expect(policy).not.toContain('unsafe-inline');
  expect(policy).toContain("frame-ancestors 'none'");
});
