/** One page is open, somebody else acts, and the first tells of it: in a real browser, by its own EventSource. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { publishedPlan } from '../../src/store/plans.ts';
import { getSite } from '../../src/store/sites.ts';
import { openBrowser } from './browser.ts';
import { DESK, openWorkplace, PHONE, type Workplace } from './workplace.ts';

let browser: Browser;
let place: Workplace;
beforeAll(async () => {
  [browser, place] = await Promise.all([openBrowser(), openWorkplace()]);
});
afterAll(async () => {
  await browser.close();
  await place.close();
});

const line = (page: Page) => page.locator('#live');
const connected = (page: Page) =>
  page.waitForResponse((answer) => new URL(answer.url()).pathname.startsWith('/live'));
const stopAt = (nth: number) =>
  publishedPlan(place.context.store)!.rounds.flatMap(({ stops, driverId }) =>
    stops.flatMap(({ siteId }) => (siteId === undefined ? [] : [{ siteId, driverId }])),
  )[nth]!;

test('a donor says that it is full: the week sheet says so, and the driver’s sheet is fetched anew', async () => {
  const { siteId, driverId } = stopAt(0);
  const site = getSite(place.context.store, siteId)!;
  const desk = await place.enter(browser, 'coordinator', 'workshop', DESK);
  const phone = await place.enter(browser, 'driver', driverId, PHONE);
  const donor = await place.enter(browser, 'donor', site.donorId, PHONE);
  await Promise.all([connected(desk), desk.goto(`${place.origin}/week`)]);
  await Promise.all([connected(phone), phone.goto(`${place.origin}/driver`)]);
  expect(await line(desk).innerText()).toBe('');
  await phone.locator('main.sheet').waitFor();
  await phone.evaluate(() => {
    document.addEventListener('feedround-news', () => {
      document.documentElement.dataset['heard'] = 'yes';
    });
  });
  const asked = phone.waitForRequest(/run\.json$/);
  await donor.locator(`form[action$="/${siteId}/full"] button[value="full"]`).click();
  await donor.waitForURL(/full=/);
  await line(desk).getByText(`${site.name}: reported full.`).waitFor();
  expect(await line(desk).getAttribute('role')).toBe('status');
  // The sheet on the phone fetches what is new at once, and needs no line.
  await phone.locator('html[data-heard]').waitFor();
  await asked;
  expect(await line(phone).innerText()).toBe('');
  // Its own page was loaded after it, and says nothing of it.
  expect(await line(donor).innerText()).toBe('');
  await line(desk).getByRole('link', { name: 'Show the page as it is now', exact: true }).click();
  await desk.waitForLoadState();
  expect(await line(desk).innerText()).toBe('');
});

test('what was typed stays: the page as it is now is another tab', async () => {
  const { siteId } = stopAt(1);
  const site = getSite(place.context.store, siteId)!;
  const desk = await place.enter(browser, 'coordinator', 'workshop', DESK);
  await Promise.all([connected(desk), desk.goto(`${place.origin}/sites`)]);
  const donor = await place.enter(browser, 'donor', site.donorId, PHONE);
  await donor.locator(`form[action$="/${siteId}/full"] button[value="full"]`).click();
  await line(desk).getByText(`${site.name}: reported full.`).waitFor();
  await desk.getByRole('searchbox').fill('quay');
  expect(
    await line(desk).getByRole('link', { name: 'Show the page as it is now', exact: true }).count(),
  ).toBe(0);
  const [beside] = await Promise.all([
    desk.context().waitForEvent('page'),
    line(desk)
      .getByRole('link', { name: /in another tab/ })
      .click(),
  ]);
  expect(new URL(beside.url()).pathname).toBe('/sites');
  expect(await desk.getByRole('searchbox').inputValue()).toBe('quay');
});

test('the journal follows by itself, with the focus where it was', async () => {
  const { siteId } = stopAt(2);
  const site = getSite(place.context.store, siteId)!;
  const desk = await place.enter(browser, 'coordinator', 'workshop', DESK);
  await Promise.all([connected(desk), desk.goto(`${place.origin}/journal?did=told`)]);
  await desk.getByRole('link', { name: 'Word to people' }).focus();
  const before = await desk.locator('.journal li').first().getAttribute('id');
  const donor = await place.enter(browser, 'donor', site.donorId, PHONE);
  await donor.locator(`form[action$="/${siteId}/full"] button[value="full"]`).click();
  await desk.locator('.journal').first().getByText(`${site.name}: reported full.`).waitFor();
  expect(await desk.locator('.journal li').first().getAttribute('id')).not.toBe(before);
  expect(await desk.evaluate(() => document.activeElement?.textContent)).toBe('Word to people');
  // What was said after a form is over.
  expect(await desk.locator('.notice').count()).toBe(0);
});

test('a page that lost its line hears the rest when it comes back', async () => {
  const { siteId } = stopAt(3);
  const site = getSite(place.context.store, siteId)!;
  const desk = await place.enter(browser, 'coordinator', 'workshop', DESK);
  await Promise.all([connected(desk), desk.goto(`${place.origin}/week`)]);
  await desk.context().setOffline(true);
  place.dropLines();
  const donor = await place.enter(browser, 'donor', site.donorId, PHONE);
  await donor.locator(`form[action$="/${siteId}/full"] button[value="full"]`).click();
  await donor.waitForURL(/full=/);
  await Promise.all([connected(desk), desk.context().setOffline(false)]);
  await line(desk).getByText(`${site.name}: reported full.`).waitFor();
  expect(place.faults).toEqual([]);
});
