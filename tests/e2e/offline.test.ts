/** The driver's phone in a real browser, with the network cut: nothing lost, nothing twice, and always said. */

import { AxeBuilder } from '@axe-core/playwright';
import { serve as listen } from '@hono/node-server';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { seededRandom } from '../../src/core/quantity/random.ts';
import { listMissedOfStops } from '../../src/store/missed-stops.ts';
import { marksOfRound } from '../../src/store/round-marks.ts';
import { currentStockKg } from '../../src/store/stock.ts';
import { listWeighInsOfStops } from '../../src/store/weigh-ins.ts';
import { openLongRound } from '../fixtures/long-round.ts';
import { openBrowser } from './browser.ts';

const STOPS = 25;
const PHONE = { viewport: { width: 360, height: 640 }, hasTouch: true };

let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());

/** A server of its own for every story, over a round of many stops. */
async function openServer(stops = STOPS) {
  const place = openLongRound(stops);
  /** As if the application had been updated: the worker's bytes are others from then on. */
  const version: { name?: string } = {};
  const fetch = async (request: Request): Promise<Response> => {
    if (version.name === undefined || new URL(request.url).pathname !== '/driver-worker.js')
      return place.app.fetch(request);
    const answer = await place.app.request('/driver-worker.js');
    const source = (await answer.text()).replace(/"version":"[^"]+"/, `"version":"${version.name}"`);
    return new Response(source, { headers: { 'content-type': 'text/javascript' } });
  };
  const server = listen({ fetch, hostname: '127.0.0.1', port: 0 });
  await new Promise((listening) => server.once('listening', listening));
  const address = server.address();
  const origin = `http://127.0.0.1:${typeof address === 'object' && address ? address.port : 0}`;
  return {
    ...place,
    origin,
    update(name: string) {
      version.name = name;
    },
    async openPhone(options: Parameters<Browser['newContext']>[0] = {}): Promise<BrowserContext> {
      const context = await browser.newContext({ ...PHONE, ...options });
      await context.addCookies([{ name: 'feedround-driver', value: place.signIn(), url: origin }]);
      return context;
    },
    async close() {
      await new Promise<void>((closed) => server.close(() => closed()));
      expect(place.faults).toEqual([]);
      place.close();
    },
  };
}
type Server = Awaited<ReturnType<typeof openServer>>;

/** The sheet is up, and the phone has all that it needs to go on alone. */
async function openSheet(server: Server, context: BrowserContext): Promise<Page> {
  const page = await context.newPage();
  await page.goto(`${server.origin}/driver`);
  await page.locator('.sheet-next').waitFor();
  await page.evaluate(async () => {
    await navigator.serviceWorker.ready;
  });
  return page;
}

async function typeKg(page: Page, kg: string): Promise<void> {
  for (const key of kg)
    await page.locator('.pad-keys').getByRole('button', { name: key, exact: true }).click();
}

/** From the sheet and back to it: the number of presses besides the digits. */
async function weighNext(page: Page, kg: string): Promise<number> {
  const press = async (name: string) => page.getByRole('button', { name, exact: true }).click();
  await page.locator('.sheet-next').getByRole('link', { name: 'Weigh in' }).click();
  await typeKg(page, kg);
  await press('Hand in');
  await page.locator('.sheet-next, .sheet-round .lead').first().waitFor();
  return 2;
}

const countsOf = async (page: Page) => {
  const { waiting, handedIn, refused } = await page.locator('.sheet-status').evaluate((line) => ({
    ...(line as HTMLElement).dataset,
  }));
  return { waiting: Number(waiting), handedIn: Number(handedIn), refused: Number(refused) };
};
const until = async (page: Page, waiting: number) =>
  page.locator(`.sheet-status[data-waiting="${waiting}"]`).waitFor({ timeout: 30_000 });

test('a whole round of 25 stops without a network, the page killed three times and a wrong clock, is on the server once each', async () => {
  const server = await openServer();
  const context = await server.openPhone();
  // Five hours ahead, from before the first page.
  await context.addInitScript(() => {
    const real = Date.now.bind(Date);
    Date.now = () => real() + 5 * 3_600_000;
  });
  let page = await openSheet(server, context);
  await context.setOffline(true);
  await page.getByRole('button', { name: 'I am leaving now' }).click();
  await until(page, 1);
  const entered: (string | 'closed')[] = [];
  for (let stop = 0; stop < STOPS; stop++) {
    if (stop === 7 || stop === 13 || stop === 20) {
      await page.close();
      page = await context.newPage();
      await page.goto(`${server.origin}/driver`);
      await page.locator('.sheet-next').waitFor();
      // What was entered before is there, and said to wait.
      expect(await countsOf(page)).toEqual({ waiting: stop + 1, handedIn: 0, refused: 0 });
    }
    if (stop % 6 === 5) {
      await page.locator('.sheet-next').getByRole('link', { name: 'Not collected' }).click();
      await page.getByRole('button', { name: 'Closed, nobody there' }).click();
      await page.getByRole('button', { name: 'Back to the sheet' }).click();
      entered.push('closed');
    } else {
      const kg = `${20 + stop}.${stop % 10}`;
      expect(await weighNext(page, kg)).toBeLessThanOrEqual(4);
      entered.push(kg);
    }
  }
  expect(await page.locator('main').innerText()).toContain('Every stop is done.');
  await until(page, STOPS + 1);
  expect(
    listWeighInsOfStops(
      server.context.store,
      server.siteStops.map(({ id }) => id),
    ),
  ).toEqual([]);

  await context.setOffline(false);
  await until(page, 0);
  expect(await countsOf(page)).toEqual({ waiting: 0, handedIn: STOPS + 1, refused: 0 });

  const { store } = server.context;
  let sumKg = 0;
  for (const [i, stop] of server.siteStops.entries()) {
    const said = entered[i]!;
    const weighed = listWeighInsOfStops(store, [stop.id]);
    const missed = listMissedOfStops(store, [stop.id]);
    expect(weighed.map(({ netKg }) => netKg)).toEqual(said === 'closed' ? [] : [Number(said)]);
    expect(missed.map(({ reason }) => reason)).toEqual(said === 'closed' ? ['closed'] : []);
    // The phone was five hours ahead; the record is not.
    for (const { at } of [...weighed, ...missed])
      expect(Math.abs(at - server.context.now())).toBeLessThan(15 * 60);
    if (said !== 'closed') sumKg += Number(said);
  }
  expect([...currentStockKg(store).values()].reduce((sum, kg) => sum + kg, 0)).toBeCloseTo(sumKg, 6);
  expect(marksOfRound(store, server.round.id).map(({ mark }) => mark)).toEqual(['started']);
  await context.close();
  await server.close();
});

test('drawn turns of online, offline, reload and a second tab lose and double nothing', async () => {
  const TURNS = 4;
  for (let seed = 1; seed <= TURNS; seed++) {
    const random = seededRandom(seed);
    const server = await openServer(8);
    const context = await server.openPhone();
    let pages = [await openSheet(server, context)];
    const entered: string[] = [];
    for (let step = 0; step < 14 && entered.length < 8; step++) {
      const page = pages[random.below(pages.length)]!;
      const drawn = random.below(10);
      if (drawn < 4) {
        // A page reads anew what another tab has entered before it is used.
        await page.bringToFront();
        await page.goto(`${server.origin}/driver`);
        await page.locator('.sheet-next').waitFor();
        const kg = `${10 + random.below(30)}.${1 + random.below(9)}`;
        await weighNext(page, kg);
        entered.push(kg);
      } else if (drawn < 6) await context.setOffline(random.below(2) === 0);
      else if (drawn < 7) await page.reload();
      else if (drawn < 8) {
        const other = await context.newPage();
        await other.goto(`${server.origin}/driver`);
        pages.push(other);
      } else if (pages.length > 1) {
        await page.close();
        pages = pages.filter((one) => one !== page);
      }
    }
    await context.setOffline(false);
    const [page] = pages;
    await page!.goto(`${server.origin}/driver`);
    await until(page!, 0);
    const weighed = listWeighInsOfStops(
      server.context.store,
      server.siteStops.map(({ id }) => id),
    );
    const kgOf = new Map(weighed.map(({ stopId, netKg }) => [stopId, netKg]));
    expect(
      server.siteStops.flatMap(({ id }) => kgOf.get(id) ?? []),
      `seed ${seed}`,
    ).toEqual(entered.map(Number));
    expect(weighed).toHaveLength(entered.length);
    await context.close();
    await server.close();
  }
});

test('two phones on one round: what came first stands, the other is asked, and its answer is a correction', async () => {
  const server = await openServer(3);
  const [mine, theirs] = [await server.openPhone(), await server.openPhone()];
  const myPage = await openSheet(server, mine);
  const theirPage = await openSheet(server, theirs);
  await mine.setOffline(true);
  await weighNext(myPage, '21');
  await weighNext(theirPage, '34');
  await until(theirPage, 0);
  await mine.setOffline(false);
  await myPage.locator('.sheet-refused').waitFor();
  const stopId = server.siteStops[0]!.id;
  const kg = () => listWeighInsOfStops(server.context.store, [stopId]).map(({ netKg }) => netKg);
  expect(kg()).toEqual([34]);
  expect(await myPage.locator('.sheet-refused').innerText()).toMatch(/21\skg[\s\S]*Another phone/);
  await myPage.getByRole('button', { name: 'Mine is right: correct it' }).click();
  await myPage.locator('.sheet-refused').waitFor({ state: 'detached' });
  await until(myPage, 0);
  expect(kg()).toEqual([21]);
  await Promise.all([mine.close(), theirs.close()]);
  await server.close();
});

test('a plan that changes meanwhile is offered, and taken only by a press; a lost phone is shut out and keeps its entries', async () => {
  const server = await openServer(4);
  const context = await server.openPhone();
  const page = await openSheet(server, context);
  server.publish('plan2', ['s2', 's3', 's4']);
  await page.reload();
  await page.locator('.sheet-changed').waitFor();
  expect(await page.locator('.sheet-changed').innerText()).toContain('Not any more: Stop house 1');
  expect(await page.locator('.sheet-next').innerText()).toContain('Stop house 1');
  await page.getByRole('button', { name: 'Take the new sheet' }).click();
  await page.locator('.sheet-next', { hasText: 'Stop house 2' }).waitFor();
  expect(await page.locator('.sheet-changed').count()).toBe(0);

  await context.setOffline(true);
  await weighNext(page, '18');
  server.context.store.$client.prepare('UPDATE access_tokens SET revoked_at = created_at').run();
  await context.setOffline(false);
  await page.getByText('does not know this phone any more').waitFor();
  // Names and addresses are gone from the phone, what was entered is not.
  expect(await page.locator('main').innerText()).not.toContain('Stop house');
  expect(await page.locator('main').innerText()).toContain('1 waiting');
  await context.addCookies([{ name: 'feedround-driver', value: server.signIn(), url: server.origin }]);
  await page.goto(`${server.origin}/driver`);
  await page.locator('.sheet-status').waitFor();
  await until(page, 0);
  const stopIds = server.siteStops.map(({ id }) => id);
  const stored = server.context.store.$client.prepare('SELECT net_g FROM weigh_ins').all();
  expect(stored).toEqual([{ net_g: 18_000 }]);
  expect(stopIds).toHaveLength(4);
  await context.close();
  await server.close();
});

test('a new version of the application takes over while entries wait, and loses none', async () => {
  const server = await openServer(3);
  const context = await server.openPhone();
  const page = await openSheet(server, context);
  await context.setOffline(true);
  await weighNext(page, '21');
  await context.setOffline(false);
  server.update('next');
  await page.evaluate(async () => {
    await (await navigator.serviceWorker.ready).update();
  });
  // The files of the version before go once the new one is ready.
  await expect
    .poll(() => page.evaluate(() => caches.keys()), { timeout: 20_000 })
    .toEqual(['feedround-driver-next']);
  await context.setOffline(true);
  await page.reload();
  await page.locator('.sheet-next', { hasText: 'Stop house 2' }).waitFor();
  await weighNext(page, '22');
  await context.setOffline(false);
  await until(page, 0);
  const stored = listWeighInsOfStops(
    server.context.store,
    server.siteStops.map(({ id }) => id),
  );
  expect(stored.map(({ netKg }) => netKg).sort()).toEqual([21, 22]);
  await context.close();
  await server.close();
});

/** Targets under 48 px and text under 16 px that a thumb or an eye needs, on what is shown now. */
const tooSmall = (page: Page) =>
  page.locator('main').evaluate((main) => {
    const shown = (element: Element) => element.checkVisibility() && element.getClientRects().length > 0;
    const targets = [...main.querySelectorAll('a, button, input, textarea, summary')].filter(shown);
    const low = targets.filter((target) => target.getBoundingClientRect().height < 47.5);
    const texts = [...main.querySelectorAll('*')].filter(
      (element) =>
        shown(element) &&
        !element.closest('.unseen') &&
        [...element.childNodes].some((node) => node.nodeType === 3 && node.textContent?.trim()),
    );
    const faint = texts.filter((text) => Number.parseFloat(getComputedStyle(text).fontSize) < 16);
    return [...low, ...faint].map((element) => element.outerHTML.slice(0, 120));
  });

test.each(['light', 'dark'] as const)(
  'every screen in the %s theme: axe with contrast from 7:1, targets from 48 px, text from 16 px, no scrolling sideways',
  async (colorScheme) => {
    const server = await openServer(5);
    const context = await server.openPhone({ colorScheme });
    const page = await openSheet(server, context);
    const look = async (screen: string) => {
      const { violations } = await new AxeBuilder({ page })
        .include('main')
        .withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'wcag2aaa'])
        .analyze();
      const found = violations.map(({ id, nodes }) => [id, nodes[0]?.html.slice(0, 160), nodes.length]);
      expect(found, screen).toEqual([]);
      expect(await tooSmall(page), screen).toEqual([]);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      expect(wide, screen).toBeLessThanOrEqual(0);
    };
    const press = (name: string | RegExp) => page.getByRole('button', { name }).first().click();
    const follow = (name: string | RegExp) => page.getByRole('link', { name }).first().click();
    await look('sheet');
    await context.setOffline(true);
    await follow('Weigh in');
    await look('pad');
    await press('Gross − tare');
    await press(/^Thrown out/);
    await typeKg(page, '3');
    await press('Hand in');
    await look('pad with gross, tare and what was thrown out');
    await press('Net kg');
    await press(/^Net/);
    await typeKg(page, '900');
    await press('Food');
    await press('Hand in');
    await look('asked');
    await press('Yes, that is right');
    await page.locator('.sheet-next').waitFor();
    await look('sheet with an over-full van and an entry that waits');
    await follow('Not collected');
    await look('not collected');
    await press('Contents looked unsafe');
    await look('not collected, said');
    await press('Back to the sheet');
    await page.locator('.sheet-rest summary').first().click();
    await look('sheet with a later stop open');
    for (const name of ['Unload and weigh the load', 'A donor waves: add a stop', 'The van cannot go on']) {
      await page.locator('.sheet-more summary').click();
      await follow(name);
      await look(name);
      await follow(/Back to the sheet/);
    }
    await context.close();
    await server.close();
  },
);
