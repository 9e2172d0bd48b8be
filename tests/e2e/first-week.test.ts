/**
 * The story "first plan from an empty database by import", in a real browser over the real server and planner: by mouse
 * once, and with the keyboard alone up to the first file. Nothing but the pages is used.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import AxeBuilder from '@axe-core/playwright';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openWorkplace, type Served, serve } from '../../src/main.ts';
import { COORDINATOR_SUBJECT, createLink } from '../../src/usecases/access.ts';
import type { Context } from '../../src/usecases/context.ts';
import { openBrowser } from './browser.ts';

const town = (name: string): string => fileURLToPath(new URL(`../../geo-fixtures/${name}`, import.meta.url));
/** 2026-06-15T04:00:00Z, six in the morning in the demo town; then at real speed. */
const MORNING_AT = 1_781_496_000;

let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(async () => {
  await browser?.close();
});

/** A server of its own over an empty database, and a coordinator who has just come in. */
async function onAnEmptyDatabase(story: (page: Page, folder: string) => Promise<void>): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'feedround-first-'));
  const workplace = openWorkplace(join(folder, 'own.db'));
  const startedMs = Date.now();
  const desk: Context = {
    ...workplace.context,
    now: () => MORNING_AT + Math.floor((Date.now() - startedMs) / 1000),
  };
  let served: Served | undefined;
  try {
    served = await serve(desk, { databasePath: '', host: '127.0.0.1', port: 0, origin: undefined });
    const link = createLink(desk, { role: 'coordinator', subjectId: COORDINATOR_SUBJECT, actor: 'test' });
    if (!link.ok) throw new Error('no link');
    const page = await (await browser.newContext({ viewport: { width: 1440, height: 900 } })).newPage();
    page.setDefaultTimeout(30_000);
    await page.goto(`${served.origin}/enter/coordinator/${link.value.token}`);
    await page.getByRole('button', { name: 'Come in' }).click();
    await page.waitForURL('**/week');
    await story(page, folder);
  } finally {
    await served?.stop();
    workplace.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

const text = async (page: Page): Promise<string> =>
  ((await page.locator('main').textContent()) ?? '').replaceAll(/\s+/g, ' ');
const expectNoViolation = async (page: Page): Promise<void> => {
  const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa', 'wcag22aa']).analyze();
  expect(violations.map(({ id, nodes }) => [id, nodes[0]?.html])).toEqual([]);
};

const GRADES = [
  ['ldpe-clear', 'Clear stretch and wrap', '0.95'],
  ['ldpe-printed', 'Printed soft film', '0.60'],
  ['hdpe-white', 'White crinkly carriers', '0.75'],
  ['ldpe-black', 'Black garden film', '0.55'],
  ['mixed-film-printed', 'Mixed printed film', '0.40'],
] as const;

async function describeWorkshop(page: Page): Promise<void> {
  const fields = {
    name: 'Harrow Yard',
    address: '1 Mill Lane',
    lat: '46.210237',
    lon: '-19.343161',
    currency: 'EUR',
    store_limit_kg: '1600',
  };
  for (const [name, value] of Object.entries(fields)) await page.locator(`#${name}`).fill(value);
  await page.locator('#zone').selectOption('Europe/Vienna');
  for (const [i, [grade, name, price]] of GRADES.entries()) {
    await page.locator(`[name=grade${i}]`).selectOption(grade);
    await page.locator(`[name=gradeName${i}]`).fill(name);
    await page.locator(`[name=gradePrice${i}]`).fill(price);
  }
  await page.getByRole('button', { name: 'Keep' }).click();
}

async function bringIn(page: Page, title: string, file: string): Promise<void> {
  await page.locator('.tables-in').getByRole('link', { name: title, exact: true }).click();
  await page.getByLabel('The file').setInputFiles(file);
  await page.getByRole('button', { name: 'Check it' }).click();
  await page.getByRole('button', { name: /^Keep [\d,]+ rows?$/ }).click();
  await page.waitForURL('**/import?kept=*');
  expect(await page.locator('.notice-done').textContent()).toContain(`${title} came in`);
}

test('a workshop is described, its files come in, and the first week is planned and published', () =>
  onAnEmptyDatabase(async (page, folder) => {
    expect(await text(page)).toContain('Nothing is in the database yet');
    await expectNoViolation(page);
    await page.getByRole('link', { name: 'Describe it' }).click();
    await expectNoViolation(page);

    // Half filled it comes back as typed, with every sentence at once.
    await page.locator('#name').fill('Harrow Yard');
    await page.getByRole('button', { name: 'Keep' }).click();
    expect(await text(page)).toContain('Choose the time zone that its clocks show.');
    expect(await text(page)).toContain('At least one grade is needed');
    expect(await page.locator('#name').inputValue()).toBe('Harrow Yard');
    await describeWorkshop(page);
    await page.waitForURL('**/import');
    await expectNoViolation(page);

    // A file with a mistake says where and how to mend it, and keeps nothing.
    const broken = join(folder, 'vans.csv');
    writeFileSync(broken, 'key,name,payload_kg,load_space_l,cost_per_km\nlark,Lark,much,5000,0.4\n');
    await page.locator('.tables-in').getByRole('link', { name: 'Vans', exact: true }).click();
    await page.getByLabel('The file').setInputFiles(broken);
    await page.getByRole('button', { name: 'Check it' }).click();
    expect(await page.getByRole('alert').textContent()).toContain('1 mistake in 1 row. Nothing was kept');
    expect(await text(page)).toContain('line 2, payload_kg "much": write a number in kg');
    await expectNoViolation(page);
    await page.getByRole('link', { name: 'Bring in a file' }).click();
    expect(await text(page)).toContain('Nothing there yet');

    await bringIn(page, 'Sites', town('sites.csv'));
    await bringIn(page, 'Weigh-ins', town('weigh-ins.csv'));
    await bringIn(page, 'Vans', town('vans.csv'));
    await bringIn(page, 'Drivers', town('drivers.csv'));
    await bringIn(page, 'Shifts', town('shifts.csv'));

    await page.getByRole('link', { name: 'Week', exact: true }).click();
    expect(await text(page)).toContain('Not planned yet');
    await page.getByRole('button', { name: 'Plan the week' }).click();
    await page.waitForURL('**/week?plan=*');
    expect(await page.locator('.stop-site').count()).toBeGreaterThan(4);
    await page.getByRole('button', { name: 'Publish' }).click();
    await page.waitForURL('**/week?did=published');
    expect(await page.locator('.state').textContent()).toBe('Published');
  }));

test('the same by the keyboard alone: the form is filled and kept without a mouse', () =>
  onAnEmptyDatabase(async (page) => {
    const tabTo = async (name: string): Promise<void> => {
      for (let presses = 0; presses < 60; presses++) {
        await page.keyboard.press('Tab');
        const now = await page.evaluate(
          () =>
            document.activeElement?.getAttribute('name') ??
            document.activeElement?.getAttribute('href') ??
            document.activeElement?.textContent?.trim(),
        );
        if (now === name) return;
      }
      throw new Error(`${name} cannot be reached by the Tab key`);
    };
    await tabTo('/workshop');
    await page.keyboard.press('Enter');
    await page.waitForURL('**/workshop');
    for (const [name, value] of [
      ['name', 'Harrow Yard'],
      ['lat', '46.2'],
      ['lon', '-19.3'],
      ['zone', 'Europe/Vienna'],
      ['currency', 'EUR'],
      ['store_limit_kg', '1600'],
      ['grade0', 'LDPE clear'],
      ['gradeName0', 'Clear wrap'],
      ['gradePrice0', '0.95'],
    ] as const) {
      await tabTo(name);
      await page.keyboard.type(value);
    }
    await page.keyboard.press('Enter');
    await page.waitForURL('**/import');
    await tabTo('/import/sites');
    await page.keyboard.press('Enter');
    await page.waitForURL('**/import/sites');
    await tabTo('file');
  }));
