/** A stop is moved to another day, looked at, kept, taken back, kept again and published: by keyboard alone, without scripts. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { getPlan, publishedPlan, type StoredPlan } from '../../src/store/plans.ts';
import { planToShow } from '../../src/usecases/plan-to-show.ts';
import { askWhatIf } from '../../src/usecases/what-if.ts';
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

const MOST_TABS = 600;
/** Goes from one focusable thing to the next, as a hand without a mouse does, and presses Enter. */
async function enterOn(isIt: (focused: { text: string; href: string }) => boolean): Promise<void> {
  for (let i = 0; i < MOST_TABS; i++) {
    await page.keyboard.press('Tab');
    const focused = await page.evaluate(() => ({
      text: document.activeElement?.textContent?.trim() ?? '',
      href: document.activeElement?.getAttribute('href') ?? '',
    }));
    if (!isIt(focused)) continue;
    const loaded = page.waitForEvent('load');
    await page.keyboard.press('Enter');
    await loaded;
    return;
  }
  throw new Error('the Tab key does not lead there');
}
const textOf = async (part: string): Promise<string> =>
  ((await page.locator(part).first().textContent()) ?? '').replaceAll(/\s+/g, ' ');
const text = (): Promise<string> => textOf('main');
const notice = (): Promise<string> => textOf('.notice');
const daysOf = (plan: StoredPlan, siteId: string): string[] =>
  plan.rounds.filter(({ stops }) => stops.some((stop) => stop.siteId === siteId)).map(({ day }) => day);

/** A stop that can move to a day without breaking a promise. */
function movable() {
  const plan = planToShow(place.context.store)!;
  for (const round of plan.rounds)
    for (const { siteId } of round.stops)
      for (const toDay of plan.plan.days) {
        if (siteId === undefined || daysOf(plan, siteId).includes(toDay)) continue;
        const changes = [{ kind: 'move', siteId, day: round.day, toDay } as const];
        const asked = askWhatIf(place.context, { planId: plan.id, changes });
        if (!asked.ok) continue;
        const { obstacles, brokenPromises } = asked.value.consequences;
        if (obstacles.length + brokenPromises.length === 0) return { plan, round, siteId, toDay };
      }
  throw new Error('no stop can move');
}

test('move a stop, see the difference, keep, take back, keep, publish', async () => {
  const { store } = place.context;
  const { plan: base, round, siteId, toDay } = movable();
  await page.goto(`${place.origin}/week`);
  await enterOn(({ href }) => href === `/rounds/${round.id}`);
  await enterOn(({ href }) => href.endsWith(`/sites/${siteId}/change?day=${round.day}`));
  expect(await text()).toMatch(/Dropping it would (cost|save)/);
  expect(await text()).toContain('What else could be done');

  await enterOn(({ href }) => href.includes('kind=move') && href.includes(`to=${toDay}`));
  const answer = page.url();
  expect(await text()).toMatch(/It (costs|saves) .+ in all/);
  for (const name of ['Money by part', 'Days', 'Vans'])
    expect(await page.getByRole('region', { name, exact: true }).count(), name).toBe(1);
  expect(planToShow(store)!.id).toBe(base.id);

  await enterOn(({ text: said }) => said === 'Keep as draft');
  expect(await notice()).toContain('Kept as a draft');
  expect(await textOf('.change-by-hand')).toContain('Changed by hand:');
  const draft = planToShow(store)!;
  expect(draft).toMatchObject({ state: 'draft', baseId: base.id });
  expect(daysOf(draft, siteId)).toContain(toDay);
  expect(daysOf(draft, siteId)).not.toContain(round.day);

  await enterOn(({ text: said }) => said === 'Take the change back');
  expect(await notice()).toContain('Taken back');
  expect(planToShow(store)!.id).toBe(base.id);
  expect(getPlan(store, draft.id)).toBeUndefined();

  await page.goto(answer);
  await enterOn(({ text: said }) => said === 'Keep as draft');
  await enterOn(({ text: said }) => said === 'Compare with the plan before');
  expect(await text()).toContain('1 site has another day');
  await page.goBack();
  await enterOn(({ text: said }) => said === 'Publish');
  expect(await notice()).toContain('Published.');
  expect(daysOf(publishedPlan(store)!, siteId)).toContain(toDay);
});
