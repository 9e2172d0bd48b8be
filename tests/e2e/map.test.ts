/** The map under the hand: closer and back by button, key and wheel; facts on pointing and on reaching a stop by keyboard. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { getSite, listSites } from '../../src/store/sites.ts';
import { openBrowser } from './browser.ts';
import { DESK, openWorkplace, type Workplace } from './workplace.ts';

let browser: Browser;
let place: Workplace;
let page: Page;
beforeAll(async () => {
  [browser, place] = await Promise.all([openBrowser(), openWorkplace()]);
  page = await place.enter(browser, 'coordinator', 'workshop', DESK);
  await page.goto(`${place.origin}/map`);
  await page.getByRole('button', { name: 'Draw the map closer' }).waitFor();
});
afterAll(async () => {
  await browser.close();
  await place.close();
});

const viewBox = async (): Promise<string> =>
  (await page.locator('svg[data-map]').getAttribute('viewBox')) ?? '';
const scale = (): Promise<string | null> => page.locator('[data-bar-text]').textContent();

test('drawn closer by button and key, the scale says another length, and back it is the same map', async () => {
  const [whole, bar] = [await viewBox(), await scale()];
  await page.getByRole('button', { name: 'Draw the map closer' }).click();
  await page.locator('.map-window').focus();
  await page.keyboard.press('+');
  await page.keyboard.press('+');
  expect(await viewBox()).not.toBe(whole);
  expect(await scale()).not.toBe(bar);
  const before = await viewBox();
  await page.keyboard.press('ArrowRight');
  expect(await viewBox()).not.toBe(before);
  await page.keyboard.press('0');
  expect(await viewBox()).toBe(whole);
  expect(await scale()).toBe(bar);
});

test('a name keeps its size when the map is drawn closer', async () => {
  const name = page.locator('.map-home .map-name text');
  const before = (await name.boundingBox())!;
  await page.getByRole('button', { name: 'Draw the map closer' }).click();
  const after = (await name.boundingBox())!;
  expect(Math.abs(after.height - before.height)).toBeLessThan(1);
  await page.getByRole('button', { name: 'Show the whole map' }).click();
});

test('a stop shows its facts to the pointer and to the keyboard, and Escape sends them away', async () => {
  const stop = page.locator('a.map-stop').first();
  const card = page.locator('.map-card');
  await stop.locator('.plate').hover();
  await card.waitFor();
  expect(await card.textContent()).toMatch(/1\. .*\d\d:\d\d/);
  expect(await page.locator('tr.is-shown').count()).toBe(1);
  await page.keyboard.press('Escape');
  expect(await card.isVisible()).toBe(false);
  await stop.focus();
  expect(await card.isVisible()).toBe(true);
  expect(await stop.getAttribute('aria-label')).toContain('kg');
});

test('a site is put elsewhere by hand; the form follows, and only the button keeps it', async () => {
  const { store } = place.context;
  const [site] = listSites(store);
  await page.goto(`${place.origin}/sites/${site!.id}/position`);
  await page.getByText('Take hold of it').waitFor();
  const ring = (await page.locator('.map-moved-ring').boundingBox())!;
  const [x, y] = [ring.x + ring.width / 2, ring.y + ring.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 60, y - 40, { steps: 4 });
  await page.mouse.up();
  expect(Number(await page.getByLabel('Latitude').inputValue())).toBeGreaterThan(site!.lat);
  expect(Number(await page.getByLabel('Longitude').inputValue())).toBeGreaterThan(site!.lon);
  expect(await page.locator('[data-moved-by]').textContent()).toMatch(
    /\d+\sm from where the register has it/,
  );
  expect(getSite(store, site!.id)!.lat).toBe(site!.lat);
  await page.getByRole('button', { name: 'Keep this place' }).click();
  await page.getByText('Corrected: vans are sent there').waitFor();
  expect(getSite(store, site!.id)!.lat).toBeGreaterThan(site!.lat);
});
