/** A shop manager on a phone, the morning after a street party: with scripts and without, in both languages. */
import { readFileSync } from 'node:fs';
import { AxeBuilder } from '@axe-core/playwright';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { listBookingsOfSite } from '../../src/store/bookings.ts';
import { listFillReportsOfSite } from '../../src/store/fill-reports.ts';
import { listOpenPlaceRequests } from '../../src/store/place-requests.ts';
import { getSite, listSites, type Site } from '../../src/store/sites.ts';
import { listSurgesOfSite } from '../../src/store/surges.ts';
import { cancelBooking } from '../../src/usecases/cancel-extra-collection.ts';
import { confirmExtraCollection } from '../../src/usecases/confirm-extra-collection.ts';
import { quoteExtraCollection } from '../../src/usecases/quote-extra-collection.ts';
import { sayIn } from '../../src/web/messages/say.ts';
import { openBrowser } from './browser.ts';
import { openWorkplace, PHONE, type Workplace } from './workplace.ts';

let browser: Browser;
let place: Workplace;
let sites: Site[];
beforeAll(async () => {
  [browser, place] = await Promise.all([openBrowser(), openWorkplace()]);
  // Places of donors that have but one, each story its own.
  const all = listSites(place.context.store);
  sites = all
    .filter((site) => all.filter(({ donorId }) => donorId === site.donorId).length === 1)
    .filter((site) => slotsFor(site, 6).length > 0);
});
afterAll(async () => {
  await browser.close();
  await place.close();
});
const text = async (page: Page): Promise<string> =>
  ((await page.locator('main').textContent()) ?? '').replaceAll(/\s+/g, ' ');
const enter = async (site: Site, options: object = {}): Promise<Page> => {
  const page = await place.enter(browser, 'donor', site.donorId, { ...PHONE, ...options });
  page.setDefaultTimeout(20_000);
  return page;
};

describe.each([
  ['with scripts', true, 0],
  ['without scripts', false, 1],
])('%s', (_name, javaScriptEnabled, i) => {
  test('books after an event with three taps and a number, changes it, cancels it', async () => {
    const site = sites[i]!;
    const page = await enter(site, { javaScriptEnabled });
    await page.getByRole('link', { name: 'Ask for an extra collection' }).click();
    // What a first-time user must do; all else is filled with what is likely.
    await page.getByLabel('A festival or street party').check();
    await page.getByLabel('How much is there?').fill('6');
    await page.getByLabel('None of these').check();
    await page.getByRole('button', { name: 'See the days' }).click();
    await page.waitForURL(/quotes/);
    expect(await text(page)).toContain('6 sacks, festival');
    await page
      .getByRole('button', { name: /Take it/ })
      .first()
      .click();
    await page.waitForURL(/bookings/);
    expect(await text(page)).toContain('Confirmed');
    expect(listBookingsOfSite(place.context.store, site.id)).toMatchObject([
      { state: 'confirmed', hazards: '' },
    ]);

    const file = await page.request.get(`${place.origin}${new URL(page.url()).pathname}/visit.ics`);
    expect(await file.text()).toMatch(/BEGIN:VEVENT\r\nUID:booking-/);

    await page.getByRole('link', { name: 'Change it' }).click();
    await page.getByLabel('full cages').check();
    await page.getByLabel('How much is there?').fill('1');
    await page.getByRole('button', { name: 'See the days' }).click();
    await page.waitForURL(/quotes/);
    await page
      .getByRole('button', { name: /Take it/ })
      .first()
      .click();
    await page.waitForURL(/bookings/);
    expect(listBookingsOfSite(place.context.store, site.id)).toHaveLength(1);
    await page.getByRole('button', { name: 'Cancel this collection' }).click();
    expect(await text(page)).toContain('We will not come for this one');
    await page.context().close();
  });

  test('says how full it is, twice, and pauses for the holidays', async () => {
    const site = sites[i + 2]!;
    const page = await enter(site, { javaScriptEnabled });
    await page.getByRole('button', { name: 'It is full' }).click();
    expect(await text(page)).toContain('You told us that it is full');
    expect(listFillReportsOfSite(place.context.store, site.id)).toMatchObject([{ fraction: 1 }]);
    await page.getByRole('link', { name: 'Holidays, access, contact' }).click();
    await page.getByLabel('First day closed').fill('2026-08-14');
    await page.getByLabel('Last day closed').fill('2026-08-03');
    await page.getByRole('button', { name: 'Pause these days' }).click();
    expect(await text(page)).toContain('The last day comes before the first');
    await page.getByLabel('First day closed').fill('2026-08-03');
    await page.getByLabel('Last day closed').fill('2026-08-14');
    await page.getByRole('button', { name: 'Pause these days' }).click();
    expect(await text(page)).toContain('we plan around these days');
    await page.getByLabel('Access', { exact: true }).fill('Ring twice.');
    await page.getByRole('button', { name: 'Keep' }).click();
    const kept = getSite(place.context.store, site.id)!;
    expect(kept.accessNotes).toBe('Ring twice.');
    expect(kept.closures).toContainEqual({ fromDay: '2026-08-03', untilDay: '2026-08-14', reason: '' });
    expect(kept.contacts).toEqual(site.contacts);
    await page.context().close();
  });

  test('announces an event ahead without a visit of its own, and calls it off', async () => {
    const site = sites[i + 4]!;
    const page = await enter(site, { javaScriptEnabled });
    await page.goto(`${place.origin}/donor/sites/${site.id}/extra`);
    await page.getByLabel('A market day').check();
    await page.getByLabel('How much is there?').fill('9');
    await page.getByLabel('When does it end').fill('2026-06-20T18:00');
    await page.getByLabel('until', { exact: true }).fill('2026-06-24');
    await page.getByLabel('None of these').check();
    await page.getByRole('button', { name: 'Only tell us about it' }).click();
    await page.waitForURL(/did=announced/);
    expect(await text(page)).toContain('9 sacks, market day, ends Sat 20 Jun, 18:00');
    await page.getByRole('button', { name: /Call it off/ }).click();
    const [surge] = listSurgesOfSite(place.context.store, site.id).filter(({ name }) => name === '');
    expect(surge?.cancelledAt).not.toBeNull();
    await page.context().close();
  });
});

test('last year’s statement is downloaded as PDF and as CSV, in the reader’s language', async () => {
  const page = await enter(sites[0]!, { acceptDownloads: true });
  // A browser that asks for German is answered in German unasked.
  await page.context().setExtraHTTPHeaders({ 'accept-language': 'de-AT,de;q=0.9' });
  await page.goto(`${place.origin}/donor`);
  expect(await page.locator('html').getAttribute('lang')).toBe('de');
  const [pdf] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('link', { name: '2025 als PDF' }).click(),
  ]);
  const bytes = readFileSync((await pdf.path())!).toString('latin1');
  expect(bytes.startsWith('%PDF-1.7') && bytes.includes('/Lang (de)')).toBe(true);
  const [csv] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('link', { name: '2025: jede Abholung (CSV)' }).click(),
  ]);
  expect(readFileSync((await csv.path())!, 'utf8')).toMatch(/^record_id,collected_at,/);
  await page.context().close();
});

test('two donors for the last place: one has it, the other is offered what is left, with all that was typed', async () => {
  const { a, b, slots } = rivals();
  const pages = await Promise.all([enter(a), enter(b)]);
  for (const [n, page] of pages.entries()) {
    await page.goto(`${place.origin}/donor/sites/${[a, b][n]!.id}/extra`);
    await page.getByLabel('A festival or street party').check();
    await page.getByLabel('How much is there?').fill(String(SACKS));
    await page.getByLabel('until', { exact: true }).fill('2026-06-20');
    await page.getByLabel('Where does it stand').fill(`yard ${n}`);
    await page.getByLabel('None of these').check();
    await page.getByRole('button', { name: 'See the days' }).click();
    await page.waitForURL(/quotes/);
  }
  const [first, second] = pages as [Page, Page];
  const slotsOf = (page: Page) =>
    page
      .locator('input[name=slotFromAt]')
      .evaluateAll((all) => all.map((one) => (one as HTMLInputElement).value));
  for (const [n, page] of pages.entries()) expect(await slotsOf(page)).toContain(String(slots[n]));
  const take = (page: Page, slot: number) =>
    page.locator(`li.offer:has(input[name=slotFromAt][value="${slot}"]) button`).click();
  await take(first, slots[0]);
  await first.waitForURL(/bookings/);
  await take(second, slots[1]);
  await second.waitForLoadState();
  expect(await text(second)).toContain('Somebody was a moment quicker');
  expect(await slotsOf(second)).not.toContain(String(slots[1]));
  await second.getByRole('link', { name: 'Change what you told us' }).click();
  expect(await second.getByLabel('Where does it stand').inputValue()).toBe('yard 1');
  expect(await second.getByLabel('How much is there?').inputValue()).toBe(String(SACKS));
  const { store } = place.context;
  expect(
    [a, b].map((site) =>
      listBookingsOfSite(store, site.id).flatMap(({ state }) => (state === 'cancelled' ? [] : [state])),
    ),
  ).toEqual([['confirmed'], []]);
  for (const page of pages) await page.context().close();
});

/** The starts of the hours that are offered from tomorrow to the fifth day. */
const slotsFor = (site: Site, expectedBags: number): number[] =>
  quote(site, expectedBags).slots.map(({ fromAt }) => fromAt);

function quote(site: Site, expectedBags: number) {
  const at = place.context.now();
  const day = 86_400;
  const midnight = at - 6 * 3600;
  const quoted = quoteExtraCollection(place.context, {
    siteId: site.id,
    eventKind: 'festival',
    eventEndsAt: at,
    expectedBags,
    fromAt: midnight + day,
    untilAt: midnight + 6 * day,
    remarks: '',
    hazards: '',
    askedBy: 'test',
  });
  return quoted.ok ? quoted.value.quote : { id: '', slots: [] };
}

/**
 * Others book on the same day until one more leaves no room for `b`, who still has other days: that one is `a`, and its
 * booking is taken back. `slots` are the hours of the two, each its own opening hours.
 */
function rivals(): { readonly a: Site; readonly b: Site; readonly slots: readonly [number, number] } {
  const [b, ...others] = sites.slice(6);
  const [{ day, fromAt: slotB } = { day: '', fromAt: 0 }] = quote(b!, SACKS).slots;
  for (const a of others) {
    const quoted = quote(a, SACKS);
    const slotA = quoted.slots.find((slot) => slot.day === day)?.fromAt;
    if (slotA === undefined) continue;
    const taken = { factId: `rival-${a.id}`, quoteId: quoted.id, slotFromAt: slotA, actor: 'test' };
    const booked = confirmExtraCollection(place.context, taken);
    if (!booked.ok) throw new Error(booked.refusal.kind);
    const left = slotsFor(b!, SACKS);
    if (left.includes(slotB)) continue;
    cancelBooking(place.context, { bookingId: booked.value.bookingId, actor: 'test' });
    if (left.length > 0 && slotsFor(b!, SACKS).includes(slotB)) return { a, b: b!, slots: [slotA, slotB] };
    throw new Error(`after ${a.name} no day is left at all`);
  }
  throw new Error('the day has room for everybody');
}
const SACKS = 60;

test('somebody without a link asks, and the coordinator finds it and answers', async () => {
  const page = await (await browser.newContext({ ...PHONE, javaScriptEnabled: false })).newPage();
  await page.goto(`${place.origin}/request`);
  await page.getByLabel('Where is it?').fill('Mill meadow');
  await page.getByLabel('What is it from?').selectOption('clean-up');
  await page.getByLabel('About how many full sacks?').fill('14');
  await page.getByLabel('Your name').fill('River clean-up');
  await page.getByLabel('How to reach you').fill('river@clean.example');
  place.setNow(place.context.now() + 60);
  await page.getByRole('button', { name: 'Send it to the workshop' }).click();
  expect(await text(page)).toContain('Thank you, it has reached us');
  await page.context().close();
  const desk = await place.enter(browser, 'coordinator');
  await desk.goto(`${place.origin}/requests`);
  expect(await text(desk)).toContain('14 bags (clean-up');
  await desk.getByRole('button', { name: /Answered/ }).click();
  expect(listOpenPlaceRequests(place.context.store)).toEqual([]);
  await desk.context().close();
});

test.each(['en', 'de'] as const)('in %s every page passes axe and fits 320 px', async (language) => {
  const site = sites[8]!;
  const page = await enter(site, { viewport: { width: 320, height: 640 } });
  const at = place.context.now();
  const quoted = quoteExtraCollection(place.context, {
    siteId: site.id,
    eventKind: 'festival',
    eventEndsAt: at,
    expectedBags: 3,
    fromAt: at + 86_400,
    untilAt: at + 4 * 86_400,
    remarks: '',
    hazards: 'wet',
    askedBy: 'test',
  });
  if (!quoted.ok) throw new Error(quoted.refusal.kind);
  for (const path of [
    '/donor',
    `/donor/sites/${site.id}/extra`,
    `/donor/sites/${site.id}/place`,
    `/donor/quotes/${quoted.value.quote.id}`,
    '/donor/sorting',
    '/donor/nowhere',
    '/request',
    '/sign-in',
  ]) {
    await page.goto(`${place.origin}${path}?lang=${language}`);
    expect(await page.locator('html').getAttribute('lang'), path).toBe(language);
    const [scroll, client] = await page.evaluate(() => [
      document.documentElement.scrollWidth,
      document.documentElement.clientWidth,
    ]);
    expect(scroll, path).toBeLessThanOrEqual(client!);
    const { violations } = await new AxeBuilder({ page })
      .withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'])
      .analyze();
    expect(violations.map(({ id, nodes }) => [path, id, nodes[0]?.html.slice(0, 160)])).toEqual([]);
  }
  expect(place.faults).toEqual([]);
  // What was chosen stays without the address saying so.
  await page.goto(`${place.origin}/donor`);
  expect(await text(page)).toContain(sayIn(language).donor.next);
  await page.context().close();
});
