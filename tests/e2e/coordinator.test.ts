/**
 * Stories of the coordinator in a real browser, over the real server, database and planner: from an empty database
 * to a published week, and every page in both printings under axe (WCAG 2.2 A and AA).
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import AxeBuilder from '@axe-core/playwright';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openWorkplace, type Served, serve } from '../../src/main.ts';
import { COORDINATOR_SUBJECT, createLink } from '../../src/usecases/access.ts';
import type { Context } from '../../src/usecases/context.ts';
import { importFolder } from '../../src/usecases/import-folder.ts';
import { openBrowser } from './browser.ts';

const TOWN = fileURLToPath(new URL('../../geo-fixtures/', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'feedround-coordinator-'));
const workplace = openWorkplace(join(folder, 'town.db'));
/** 2026-06-15T04:00:00Z, six in the morning in the demo town, when no van has left yet; then at real speed. */
const MORNING_AT = 1_781_496_000;
const startedMs = Date.now();
const desk: Context = {
  ...workplace.context,
  now: () => MORNING_AT + Math.floor((Date.now() - startedMs) / 1000),
};
let browser: Browser;
let served: Served;
let context: BrowserContext;
let page: Page;

beforeAll(async () => {
  browser = await openBrowser();
  served = await serve(desk, {
    databasePath: '',
    host: '127.0.0.1',
    port: 0,
    origin: undefined,
  });
  context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
  page = await context.newPage();
  page.setDefaultTimeout(10_000);
});

afterAll(async () => {
  await browser?.close();
  await served?.stop();
  workplace.close();
  rmSync(folder, { recursive: true, force: true });
});

function coordinatorLink(): string {
  const request = { role: 'coordinator', subjectId: COORDINATOR_SUBJECT, actor: 'test' } as const;
  const link = createLink(desk, request);
  if (!link.ok) throw new Error('no link');
  return `${served.origin}/enter/coordinator/${link.value.token}`;
}

const text = async (from: Page = page): Promise<string> =>
  ((await from.locator('main').textContent()) ?? '').replaceAll(/\s+/g, ' ');

test('from an empty database to a published week', async () => {
  await page.goto(`${served.origin}/week`);
  expect(await text()).toContain('Sign in first');

  const link = coordinatorLink();
  await page.goto(link);
  await page.getByRole('button', { name: 'Come in' }).click();
  await page.waitForURL('**/week');
  expect(await text()).toContain('Nothing is in the database yet');

  const report = await importFolder(desk, TOWN, { dryRun: false, actor: 'test' });
  expect(report.tables.map((table) => table.faultCount)).toEqual(report.tables.map(() => 0));
  await page.reload();
  expect(await text()).toContain('Not planned yet');
  expect(await page.locator('.strip').count()).toBeGreaterThan(30);

  await page.getByRole('button', { name: 'Plan the week' }).click();
  await page.waitForURL('**/week?plan=*');
  expect(await page.locator('.notice-done').textContent()).toContain('It is a draft until you publish it');
  expect(await page.locator('.stop-site').count()).toBeGreaterThan(10);
  expect(await text()).toContain('on the facts of today');

  await page.getByRole('button', { name: 'Publish' }).click();
  await page.waitForURL('**/week?did=published');
  expect(await page.locator('.state').textContent()).toBe('Published');
  // Publishing is no change of the facts that the plan rests on.
  expect(await text()).toContain('on the facts of today');
  expect(await page.getByRole('button', { name: 'Publish' }).count()).toBe(0);

  // A coordinator's link works once.
  const other = await browser.newContext();
  const stranger = await other.newPage();
  await stranger.goto(link);
  expect(await text(stranger)).toContain('This link has been used');
  await other.close();
});

test('a round tells why each stop is on it, and leads to the site and back', async () => {
  await page.goto(`${served.origin}/week`);
  await page.locator('.round h4 a').first().click();
  await page.waitForURL('**/rounds/*');
  const why = await page.locator('.leg-site').allTextContents();
  expect(why.length).toBeGreaterThan(0);
  for (const stop of why) expect(stop).toMatch(/Dropping it would (cost|save)/);
  const name = await page.locator('.leg-site h3').first().textContent();
  await page.locator('.leg-site h3 a').first().click();
  await page.waitForURL('**/sites/*');
  expect(await page.locator('h1').textContent()).toBe(name);
  expect(await text()).toMatch(/\d+ weigh-ins?, the last/);
});

test('a driver’s link made on the page lets the driver in, and shut out again when it is withdrawn', async () => {
  await page.goto(`${served.origin}/links`);
  await page.locator('#driver').selectOption({ index: 1 });
  await page.locator('form:has(#driver) button').click();
  const link = (await page.locator('.made-link').textContent()) ?? '';
  expect(link.startsWith(`${served.origin}/enter/driver/`)).toBe(true);

  const phone = await browser.newContext({ viewport: { width: 390, height: 844 } });
  const driver = await phone.newPage();
  await driver.goto(link.trim());
  await driver.getByRole('button', { name: 'Come in' }).click();
  await driver.waitForURL('**/driver');
  expect((await driver.goto(`${served.origin}/week`))?.status()).toBe(403);

  await page.goto(`${served.origin}/links`);
  await page
    .getByRole('button', { name: /^Withdraw/ })
    .first()
    .click();
  await page.waitForURL('**/links?did=withdrawn');
  // By the server: the phone itself still has an empty page.
  expect((await driver.goto(`${served.origin}/driver?plain=1`))?.status()).toBe(401);
  await phone.close();
});

test('the week can be planned by keyboard alone: skip link, navigation, button', async () => {
  await page.goto(`${served.origin}/sites`);
  await page.keyboard.press('Tab');
  expect(await page.evaluate(() => document.activeElement?.textContent?.trim())).toBe('Skip to the page');
  await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  await page.waitForURL('**/week');
  const button = page.getByRole('button', { name: 'Plan again' });
  for (let i = 0; i < 24 && !(await button.evaluate((el) => el === document.activeElement)); i++)
    await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  await page.waitForURL('**/week?plan=*');
  expect(await page.locator('.state').textContent()).toBe('Draft');
});

const PATHS = ['/week', '/sites', '/production', '/links', '/sites/:first', '/rounds/:first', '/sign-in'];
/** Paths with the ids of the demo's first site and round filled in. */
async function addressOf(path: string): Promise<string> {
  if (!path.endsWith(':first')) return served.origin + path;
  await page.goto(`${served.origin}/week`);
  const link = page.locator(path.startsWith('/sites') ? '.strip-name a' : '.round h4 a').first();
  return served.origin + (await link.getAttribute('href'));
}

test.each(PATHS)('%s has no violation under axe, by day and by night', async (path) => {
  const address = await addressOf(path);
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme });
    await page.goto(address);
    const { violations } = await new AxeBuilder({ page })
      .withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'])
      .analyze();
    const told = violations.map(
      ({ id, nodes }) =>
        `${id}: ${nodes
          .map((n) => n.html)
          .slice(0, 3)
          .join(' | ')}`,
    );
    expect(told, colorScheme).toEqual([]);
  }
});

test.each(PATHS)('%s reflows at 320 px, and its targets are 24 px or more', async (path) => {
  const address = await addressOf(path);
  const narrow = await context.newPage();
  await narrow.setViewportSize({ width: 320, height: 700 });
  await narrow.goto(address);
  // WCAG 2.2, 1.4.10: no scrolling in two directions; tables scroll inside their own frame.
  expect(await narrow.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(320);
  // WCAG 2.2, 2.5.8: links inside a sentence are excepted.
  const small = await narrow.evaluate(() =>
    [...document.querySelectorAll('button, summary, input:not([type=hidden]), select, nav a')]
      .filter((element) => element.checkVisibility())
      .map((element) => ({ html: element.outerHTML.slice(0, 80), box: element.getBoundingClientRect() }))
      .filter(({ box }) => box.height < 24 || box.width < 24)
      .map(({ html }) => html),
  );
  expect(small).toEqual([]);
  await narrow.close();
});
