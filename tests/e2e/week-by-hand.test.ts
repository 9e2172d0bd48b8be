/** A visit is moved on the week sheet by mouse and by keyboard alone: what follows is said, and nothing is kept unasked. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { getPlan, listPlans } from '../../src/store/plans.ts';
import { openBrowser } from './browser.ts';
import { DESK, openWorkplace, type Workplace } from './workplace.ts';

let browser: Browser;
let place: Workplace;
let page: Page;
const problems: string[] = [];
beforeAll(async () => {
  [browser, place] = await Promise.all([openBrowser(), openWorkplace()]);
  page = await place.enter(browser, 'coordinator', 'workshop', DESK);
  page.on('pageerror', (error) => problems.push(String(error)));
});
afterAll(async () => {
  await browser.close();
  await place.close();
});
afterEach(() => expect(problems).toEqual([]));

const panel = () => page.getByRole('complementary', { name: 'What would follow' });
const drafts = (): number => listPlans(place.context.store, 'draft').length;

/** The first visit whose next day is in the week, that was not promised to anybody, and may be driven there. */
async function movableHandle() {
  await page.goto(`${place.origin}/week`);
  const handles = page.locator('.drop-handle');
  await handles.first().waitFor();
  for (const handle of await handles.all()) {
    await handle.focus();
    await page.keyboard.press('ArrowRight');
    if (!(await panel().isVisible())) continue;
    await page.waitForFunction(
      () => !document.querySelector('.what-if-body')?.textContent?.includes('Working'),
    );
    const isFree = await panel().getByRole('button', { name: 'Keep it as a draft' }).isEnabled();
    await page.keyboard.press('Escape');
    if (isFree) return handle;
  }
  throw new Error('no visit of the demo week can be moved to the day after');
}

test('by keyboard: an arrow key asks, Escape leaves everything as it was', async () => {
  const handle = await movableHandle();
  const before = drafts();
  await handle.focus();
  await page.keyboard.press('ArrowRight');
  expect(await panel().isVisible()).toBe(true);
  await panel().getByText('In all').waitFor();
  expect(await panel().textContent()).toMatch(/[€]/);
  expect(await page.locator('.drop-ghost:visible').count()).toBe(1);
  await page.keyboard.press('Escape');
  expect(await panel().isVisible()).toBe(false);
  expect(await page.locator('.drop-ghost:visible').count()).toBe(0);
  expect(await handle.evaluate((element) => element === document.activeElement)).toBe(true);
  expect(drafts()).toBe(before);
});

test('by mouse: the mark goes along, the day is said at once, and what is kept is a draft with the visit on it', async () => {
  const handle = await movableHandle();
  const [siteName = '', ...rest] = ((await handle.getAttribute('aria-label')) ?? '')
    .replace('Visit at ', '')
    .split(' on ');
  expect(rest.length).toBeGreaterThan(0);
  const box = (await handle.boundingBox())!;
  const chart = (await handle.locator('..').boundingBox())!;
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + chart.width / 7, y, { steps: 5 });
  expect(await panel().isVisible()).toBe(true);
  expect(await page.locator('.what-if-title').textContent()).toContain(siteName);
  await page.mouse.up();
  await panel().getByText('In all').waitFor();
  await panel().getByRole('button', { name: 'Keep it as a draft' }).click();
  await page.waitForURL(/\/week\?plan=/);
  const planId = new URL(page.url()).searchParams.get('plan')!;
  const kept = getPlan(place.context.store, planId)!;
  expect(kept.state).toBe('draft');
  const siteId = await page
    .locator(`[data-strip]`, { has: page.locator('[data-visit]') })
    .evaluateAll(
      (all, name) => all.find((one) => one.getAttribute('data-name') === name)?.getAttribute('data-strip'),
      siteName,
    );
  expect(kept.rounds.flatMap(({ stops }) => stops.map((stop) => stop.siteId))).toContain(siteId);
});
