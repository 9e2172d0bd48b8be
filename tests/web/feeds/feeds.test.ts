/** Calendars behind their private addresses, on the demo town: read with ical.js, another implementation. */
import ICAL from 'ical.js';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { inTransaction } from '../../../src/store/db.ts';
import { publishedPlan, savePlan } from '../../../src/store/plans.ts';
import { getSite, listSites } from '../../../src/store/sites.ts';
import { createCalendarLink } from '../../../src/usecases/calendar-links.ts';
import { cancelBooking } from '../../../src/usecases/cancel-extra-collection.ts';
import { planWeek } from '../../../src/usecases/plan-week.ts';
import { publishPlan } from '../../../src/usecases/publish-plan.ts';
import { requestExtraCollection } from '../../../src/usecases/request-extra-collection.ts';
import { type Demo, openDemo, planInPlace } from '../../fixtures/demo-app.ts';

const DAY_S = 86_400;
let demo: Demo;
const plan = () => publishedPlan(demo.context.store)!;
const addressOf = (of: 'donor' | 'driver' | 'van', subjectId: string): string => {
  const made = createCalendarLink(demo.context, { of, subjectId, actor: 'test' });
  if (!made.ok) throw new Error(`no ${of} ${subjectId}`);
  return `/feeds/calendar/${made.value.token}.ics`;
};
const events = async (path: string) => {
  const answer = await demo.app.request(path);
  expect(answer.status).toBe(200);
  return new ICAL.Component(ICAL.parse(await answer.text()))
    .getAllSubcomponents('vevent')
    .map((one) => new ICAL.Event(one));
};
const statusOf = (event: ICAL.Event) => event.component.getFirstPropertyValue('status');

beforeAll(async () => {
  demo = await openDemo();
  const { planId } = await planWeek(demo.context, planInPlace, { seed: 1, iterations: 60, actor: 'test' });
  publishPlan(demo.context, { planId, actor: 'test' });
});
afterAll(() => demo.close());

describe('the address', () => {
  test('needs no session, is not indexed, not cached by others, and answers 304 while nothing changes', async () => {
    const path = addressOf('van', plan().rounds[0]!.vanId);
    const answer = await demo.app.request(path);
    expect(answer.status).toBe(200);
    expect(answer.headers.get('content-type')).toBe('text/calendar; charset=utf-8');
    expect(answer.headers.get('x-robots-tag')).toContain('noindex');
    expect(answer.headers.get('cache-control')).toBe('private, no-cache');
    const tag = answer.headers.get('etag')!;
    // RFC 9110, 13.1.2: not modified, and no body.
    const again = await demo.app.request(path, { headers: { 'If-None-Match': tag } });
    expect([again.status, await again.text()]).toEqual([304, '']);
  });

  test('opens no page and no session, and a page’s session or link opens no calendar', async () => {
    const { driverId } = plan().rounds[0]!;
    const path = addressOf('driver', driverId);
    const key = /([\w-]+)\.ics/.exec(path)![1]!;
    const page = await demo.app.request('/driver', { headers: { Authorization: `Bearer ${key}` } });
    expect(page.status).toBe(401);
    const session = demo.signIn('driver', driverId);
    expect((await demo.app.request(`/feeds/calendar/${session}.ics`)).status).toBe(404);
  });

  test.each(['nonsense.ics', 'aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa.ics', 'x', '%2e%2e.ics'])(
    '%s is 404',
    async (file) => {
      expect((await demo.app.request(`/feeds/calendar/${file}`)).status).toBe(404);
    },
  );

  test('is made and withdrawn on the page of links; a new one ends the one before; other links stay', async () => {
    const { driverId } = plan().rounds[0]!;
    const coordinator = { Authorization: `Bearer ${demo.signIn('coordinator')}` };
    const driver = { Authorization: `Bearer ${demo.signIn('driver', driverId)}` };
    const post = (path: string, fields: Record<string, string>) =>
      demo.app.request(path, { method: 'POST', headers: coordinator, body: new URLSearchParams(fields) });
    const make = async () => {
      const answer = await post('/links/calendar', { whose: `driver:${driverId}` });
      expect(answer.status).toBe(201);
      return /\/feeds\/calendar\/[\w-]+\.ics/.exec(await answer.text())![0];
    };
    const first = await make();
    const second = await make();
    expect((await demo.app.request(first)).status).toBe(404);
    expect((await demo.app.request(second)).status).toBe(200);
    const page = await (await demo.app.request('/links', { headers: coordinator })).text();
    const row = page
      .split('<tr>')
      .find((one) => one.includes('(driver') && one.includes('calendar only') && one.includes('Withdraw<'))!;
    const hash = /name="hash" value="([^"]+)"/.exec(row)![1]!;
    expect((await post('/links/withdraw', { hash })).status).toBe(303);
    expect((await demo.app.request(second)).status).toBe(404);
    expect((await demo.app.request('/driver', { headers: driver })).status).toBe(200);
    expect((await post('/links/calendar', { whose: 'driver:nobody' })).status).toBe(422);
    expect((await post('/links/calendar', { whose: 'coordinator:workshop' })).status).toBe(422);
  });

  test('a donor makes and withdraws the own one', async () => {
    const { donorId } = getSite(demo.context.store, plan().rounds[0]!.stops[0]!.siteId!)!;
    const headers = { Authorization: `Bearer ${demo.signIn('donor', donorId)}` };
    const made = await demo.app.request('/donor/calendar', { method: 'POST', headers });
    const path = /\/feeds\/calendar\/[\w-]+\.ics/.exec(await made.text())![0];
    expect((await demo.app.request(path)).status).toBe(200);
    const gone = await demo.app.request('/donor/calendar/withdrawal', { method: 'POST', headers });
    expect(gone.headers.get('location')).toBe('/donor?did=calendar-withdrawn');
    expect((await demo.app.request(path)).status).toBe(404);
  });
});

describe('what it tells', () => {
  test('a driver and a van: one entry a round, from leaving to being back, with the stops in its text', async () => {
    const rounds = plan().rounds.filter((round) => round.driverId === plan().rounds[0]!.driverId);
    const told = await events(addressOf('driver', rounds[0]!.driverId));
    expect(told.map((e) => [e.startDate.toUnixTime(), e.endDate.toUnixTime()])).toEqual(
      rounds.map((round) => [round.startAt, round.endAt]),
    );
    const site = getSite(demo.context.store, rounds[0]!.stops.find((s) => s.kind === 'site')!.siteId!)!;
    expect(told[0]!.description).toContain(site.name);
    const ofVan = await events(addressOf('van', rounds[0]!.vanId));
    expect(ofVan).toHaveLength(plan().rounds.filter((round) => round.vanId === rounds[0]!.vanId).length);
  });

  test('a donor: the own visits and nobody else’s, then days that the rules give beyond the plan', async () => {
    const { store } = demo.context;
    const stops = plan().rounds.flatMap((round) => round.stops.filter((stop) => stop.kind === 'site'));
    const withRule = stops.find((stop) => getSite(store, stop.siteId!)!.rules.length > 0)!;
    const { donorId } = getSite(store, withRule.siteId!)!;
    const told = await events(addressOf('donor', donorId));
    const own = stops.filter((stop) => getSite(store, stop.siteId!)!.donorId === donorId);
    const visits = told.filter((e) => e.uid.startsWith('visit-'));
    expect(visits.map((e) => e.startDate.toUnixTime()).sort()).toEqual(own.map((s) => s.startAt).sort());
    const rules = told.filter((e) => e.uid.startsWith('rule-'));
    expect(rules.length).toBeGreaterThan(3);
    for (const rule of rules) expect(rule.startDate.toUnixTime()).toBeGreaterThan(own[0]!.startAt);
  });

  test('an extra collection: waiting, then cancelled, by the same name and a higher count', async () => {
    const { context } = demo;
    // Open whenever it is asked for: a closed window would be refused, and rightly.
    const { id: siteId, donorId } = listSites(context.store).find(
      (site) => site.closures.length === 0 && site.hours.length >= 5 && site.activeFromDay === null,
    )!;
    const fromAt = context.now() + 9 * DAY_S;
    const asked = requestExtraCollection(context, {
      factId: 'extra-1',
      siteId,
      fromAt,
      untilAt: fromAt + 3 * DAY_S,
      eventKind: 'festival',
      eventEndsAt: fromAt - 3600,
      expectedBags: 12,
      remarks: '',
      hazards: '',
      requestedBy: 'test',
    });
    if (!asked.ok) throw new Error(JSON.stringify(asked.refusal));
    const path = addressOf('donor', donorId);
    const find = async () => (await events(path)).find((e) => e.uid.includes(asked.value.bookingId))!;
    const waiting = await find();
    expect([statusOf(waiting), waiting.sequence]).toEqual(['TENTATIVE', 0]);
    cancelBooking(context, { bookingId: asked.value.bookingId, actor: 'test' });
    const cancelled = await find();
    expect([statusOf(cancelled), cancelled.sequence, cancelled.uid]).toEqual(['CANCELLED', 1, waiting.uid]);
  });

  test('a plan without a visit calls it off by the same name; told again later in the day it is back', async () => {
    const { context } = demo;
    const before = plan();
    const round = before.rounds.at(-1)!;
    const site = round.stops.find((stop) => stop.kind === 'site')!;
    const path = addressOf('donor', getSite(context.store, site.siteId!)!.donorId);
    const find = async () => (await events(path)).find((e) => e.startDate.toUnixTime() === site.startAt)!;
    const first = await find();
    const publish = (id: string, body: typeof before.plan) => {
      inTransaction(context.store, (tx) =>
        savePlan(tx, { id, plan: body, inputHash: 'x', createdAt: context.now() }, context.newId),
      );
      expect(publishPlan(context, { planId: id, actor: 'test' }).ok).toBe(true);
    };
    publish('without', {
      ...before.plan,
      rounds: before.plan.rounds.filter((r) => r.shiftId !== round.shiftId),
    });
    const off = await find();
    expect([off.uid, statusOf(off), off.sequence]).toEqual([first.uid, 'CANCELLED', first.sequence + 1]);
    demo.setNow(context.now() + 60);
    publish('again', before.plan);
    const back = await find();
    expect([back.uid, statusOf(back), back.sequence]).toEqual([first.uid, 'CONFIRMED', first.sequence + 2]);
    const modified = String(back.component.getFirstPropertyValue('last-modified'));
    expect(new Date(modified).getTime() / 1000).toBe(context.now());
  });
});
