/** The coordinator's newer pages in a browser with scripts turned off: settings, production, what the tool is worth. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { listPlans, publishedPlan } from '../../src/store/plans.ts';
import { requireWorkshop } from '../../src/store/workshop.ts';
import { listWorthRuns } from '../../src/store/worth-runs.ts';
import { changeObjective } from '../../src/usecases/change-objective.ts';
import { openBrowser } from './browser.ts';
import { DESK, openWorkplace, type Workplace } from './workplace.ts';

let browser: Browser;
let place: Workplace;
let page: Page;
beforeAll(async () => {
  [browser, place] = await Promise.all([openBrowser(), openWorkplace()]);
  page = await place.enter(browser, 'coordinator', 'workshop', { ...DESK, javaScriptEnabled: false });
  page.setDefaultTimeout(20_000);
});
afterAll(async () => {
  await browser.close();
  await place.close();
});

const text = async (): Promise<string> =>
  ((await page.locator('main').textContent()) ?? '').replaceAll(/\s+/g, ' ');
const settings = () => requireWorkshop(place.context.store).settings;

test('a price is mended, put back to its default, and saved', async () => {
  await page.getByRole('link', { name: 'Settings' }).click();
  await page.getByLabel('Time to unload').fill('soon');
  await page.getByLabel('Days planned ahead').fill('10');
  await page.getByRole('button', { name: 'Save' }).last().click();
  expect(await text()).toContain('Nothing was kept yet');
  expect(settings().horizonDays).toBe(7);

  expect(await page.getByLabel('Days planned ahead').inputValue()).toBe('10');
  await page.getByLabel('Time to unload').fill('15');
  // The Enter key saves; it must not press a button that fills in a default.
  await page.getByLabel('Time to unload').press('Enter');
  await page.waitForURL('**/settings?did=saved');
  expect(settings()).toMatchObject({ horizonDays: 10, prices: { unloadS: 900 } });
  expect(await text()).toContain('Time to unload: 15 min, was 20 min');

  await page.getByRole('button', { name: 'Fill in the default of Days planned ahead' }).click();
  expect(await page.getByLabel('Days planned ahead').inputValue()).toBe('7');
  expect(settings().horizonDays).toBe(10);
  await page.getByRole('button', { name: 'Save' }).last().click();
  await page.waitForURL('**/settings?did=saved');
  expect(settings().horizonDays).toBe(7);
});

test('production says whether the film will last and what could be shifted', async () => {
  await page.getByRole('link', { name: 'Production' }).click();
  const said = await text();
  expect(said).toContain('Will it last?');
  expect(said).toContain('What production could shift');
  expect(await page.getByRole('region', { name: 'Need against cover' }).locator('tbody tr').count()).toBe(5);
});

test('a round says what to leave out when the van is full early', async () => {
  await page.goto(`${place.origin}/week`);
  await page.locator('.round h4 a').first().click();
  const said = await text();
  expect(said).toContain('If the van is full early');
  expect(said).toMatch(/Leave out .+ first|Every stop of this round was promised/);
  expect(said).toContain('Never load above the weight on the van’s plate');
});

test('plan again, watch, stop early, publish; what somebody else plans can be joined, and dropped', async () => {
  const { context, origin } = place;
  // Minutes of searching: nobody is hurried.
  await page.goto(`${origin}/settings`);
  await page.getByLabel('Tries of a search').fill('100000');
  await page.getByLabel('Days planned ahead').fill('21');
  await page.getByRole('button', { name: 'Save' }).last().click();
  await page.waitForURL('**/settings?did=saved');

  await page.goto(`${origin}/week`);
  await page.getByRole('button', { name: 'Plan again' }).click();
  await page.waitForURL('**/planning/*');
  // It looks again by itself until there is a whole week.
  await page.getByText('Best week so far', { exact: true }).waitFor();
  await page.getByRole('link', { name: 'Stop looking by itself' }).click();
  await page.getByText('The same as a table').click();
  expect(await text()).toMatch(/\d+\s% done: [\d,]+ of 100,000 tries\./);

  const other = await place.enter(browser, 'coordinator', 'workshop', { ...DESK, javaScriptEnabled: false });
  await other.getByRole('button', { name: 'Plan again' }).click();
  expect(await other.locator('main').textContent()).toContain('The week is being planned already');
  await other.getByRole('link', { name: 'Watch that one' }).click();
  expect(other.url()).toBe(page.url().split('?')[0]);

  await page.getByRole('button', { name: 'Stop here and keep the best' }).click();
  await page.waitForURL('**/week?plan=*&did=planned-early');
  expect(await text()).toContain('Stopped early');
  await page.getByRole('button', { name: 'Publish' }).click();
  await page.waitForURL('**/week?did=published');
  const published = publishedPlan(context.store)!;
  // Whoever watched is led to the same plan.
  await other.waitForURL(`**/week?plan=${published.id}&did=planned-early`);

  await other.goto(`${origin}/week`);
  await other.getByRole('button', { name: 'Plan again' }).click();
  await other.waitForURL('**/planning/*');
  await other.getByRole('button', { name: 'Drop it' }).click();
  await other.getByText('Nothing was kept.').waitFor();
  expect(listPlans(context.store)[0]!.id).toBe(published.id);
  await other.context().close();
  changeObjective(context, { values: { searchIterations: 4000, horizonDays: 7 }, actor: 'test' });
  expect(place.faults).toEqual([]);
});

test('years are simulated while everything else works, and are there tomorrow', async () => {
  await page.getByRole('link', { name: 'Worth' }).click();
  expect(await text()).toContain('drawn by chance');
  await page.getByLabel('Worlds').fill('1');
  await page.getByLabel('Weeks').fill('16');
  await page.getByRole('button', { name: 'Simulate' }).click();
  expect(await text()).toContain('Years are being simulated');
  // The page of another person meanwhile.
  expect((await page.request.get(`${place.origin}/production`)).status()).toBe(200);
  // The page looks again by itself until it is over.
  await page.getByRole('heading', { name: 'Where it is not better' }).waitFor({ timeout: 240_000 });
  const said = await text();
  expect(said).toContain('One drawn year of 16 weeks');
  expect(said).toContain('the best rule of thumb at your size');
  expect(await page.getByRole('img', { name: 'Kilometres a tonne against days of overflow' }).count()).toBe(
    1,
  );
  const [run] = listWorthRuns(place.context.store);
  expect(run?.outcome).toBe('done');
  expect(place.faults).toEqual([]);
}, 300_000);
