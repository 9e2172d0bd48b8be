/**
 * Pictures of every page for the eye: `npm run shots -- [FOLDER] [START OF A PATH]`. The demo town on a real server for all
 * three people, then states that it does not reach, on fixture views; each wide and narrow, light and dark, and printed.
 * Says which pages did not answer or are wider than their window.
 */
import { mkdirSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, relative, resolve } from 'node:path';
import { serve } from '@hono/node-server';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { publishedPlan } from '../../src/store/plans.ts';
import { getSite } from '../../src/store/sites.ts';
import { listWeighInsOfSite } from '../../src/store/weigh-ins.ts';
import { planWeek } from '../../src/usecases/plan-week.ts';
import { requestExtraCollection } from '../../src/usecases/request-extra-collection.ts';
import { planInPlace } from '../fixtures/demo-app.ts';
import { previewApp } from '../fixtures/preview-app.ts';
import { openBrowser } from './browser.ts';
import { DESK, openWorkplace, PHONE, type Workplace } from './workplace.ts';

const [given, only = ''] = process.argv.slice(2);
const folder = given === undefined ? mkdtempSync(join(tmpdir(), 'feedround-shots-')) : resolve(given);
if (!relative(process.cwd(), folder).startsWith('..'))
  throw new Error(`${folder} lies inside the repository; name a folder outside it.`);
mkdirSync(folder, { recursive: true });

/** On paper: the week lies on its side. CSS pixels of A4 less its margins. */
const PAPER = { upright: { width: 710, height: 1040 }, sideways: { width: 1040, height: 710 } };

const isAsked = (path: string): boolean => path.startsWith(only);
const nameOf = (who: string, path: string): string =>
  `${who}${path.replaceAll(/[/?=&]+/g, '-')}`.replaceAll(/-+$/g, '');

async function picture(page: Page, address: string, name: string): Promise<void> {
  const answer = await page.goto(address);
  if (answer?.status() !== 200) console.log(`${name}: answered ${answer?.status()}`);
  const tooWide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
  if (tooWide > 0) console.log(`${name}: ${tooWide} px too wide`);
  await page.screenshot({ path: join(folder, `${name}.png`), fullPage: true });
}

/** Every path in every light and width; `enter` gives a page of a person who may see it. */
async function pictures(
  who: string,
  origin: string,
  paths: readonly string[],
  enter: (options: Parameters<Browser['newContext']>[0]) => Promise<Page>,
): Promise<void> {
  for (const colorScheme of ['light', 'dark'] as const)
    for (const [width, size] of [
      ['1440', DESK],
      ['390', PHONE],
    ] as const) {
      const page = await enter({ ...size, colorScheme });
      for (const path of paths.filter(isAsked)) {
        const name = nameOf(who, path);
        await picture(page, origin + path, `${name}-${width}-${colorScheme}`);
        if (width !== '1440' || colorScheme !== 'light') continue;
        await page.emulateMedia({ media: 'print' });
        await page.setViewportSize(/^\/(week|map)/.test(path) ? PAPER.sideways : PAPER.upright);
        await picture(page, origin + path, `${name}-print`);
        await page.emulateMedia({ media: 'screen' });
        await page.setViewportSize(DESK.viewport);
      }
      await closeContext(page.context());
    }
}
const closeContext = (context: BrowserContext): Promise<void> => context.close();

/** A town with something waiting: a draft beside the published week, a request without a day. */
async function lively(place: Workplace): Promise<void> {
  const { context } = place;
  await planWeek(context, planInPlace, { seed: 2, iterations: 60, actor: 'test' });
  const stop = publishedPlan(context.store)!.rounds[0]!.stops.find((one) => one.kind === 'site')!;
  requestExtraCollection(context, {
    factId: 'waits-0001',
    siteId: stop.siteId!,
    eventKind: 'festival',
    eventEndsAt: context.now() + 3600,
    expectedBags: 900,
    fromAt: context.now() + 3600,
    untilAt: context.now() + 4 * 86_400,
    remarks: 'behind the stage',
    hazards: '',
    requestedBy: 'test',
  });
}

function people(place: Workplace): readonly {
  readonly role: 'coordinator' | 'driver' | 'donor';
  readonly subjectId: string;
  readonly paths: readonly string[];
}[] {
  const { store } = place.context;
  const published = publishedPlan(store)!;
  const round = published.rounds[0]!;
  const stop = round.stops.find((one) => one.kind === 'site')!;
  const site = getSite(store, stop.siteId!)!;
  const twoRounds = published.rounds.find((one, i, all) => all.findIndex(({ day }) => day === one.day) !== i);
  return [
    {
      role: 'coordinator',
      subjectId: 'workshop',
      paths: [
        '/week',
        '/inbox',
        '/map',
        ...(twoRounds ? [`/map?day=${twoRounds.day}&plan=${published.id}`] : []),
        '/changes',
        '/requests',
        '/sites',
        `/sites/${site.id}`,
        `/sites/${site.id}/position`,
        `/rounds/${round.id}`,
        `/weigh-ins/${listWeighInsOfSite(store, site.id)[0]!.id}`,
        '/backtest?refresh=no',
        '/production',
        '/journal',
        '/happened',
        '/happened/surge-announced',
        '/word',
        '/word/texts/visit-moved',
        '/links',
        '/settings',
        '/worth',
      ],
    },
    { role: 'driver', subjectId: round.driverId, paths: ['/driver', `/driver/stops/${stop.id}`] },
    { role: 'donor', subjectId: site.donorId, paths: ['/donor', `/donor/sites/${site.id}/extra`] },
  ];
}

/** States that the demo town does not show. */
const STATES = [
  '/week?plan=unkept',
  '/week?plan=empty',
  '/worth?run=running',
  '/planning/run-1?refresh=no',
  '/sites/site-0',
];

const browser = await openBrowser();
const place = await openWorkplace();
await lively(place);
for (const { role, subjectId, paths } of people(place))
  if (paths.some(isAsked))
    await pictures(role, place.origin, paths, (options) => place.enter(browser, role, subjectId, options));
await place.close();

const server = serve({ fetch: previewApp().fetch, port: 0, hostname: '127.0.0.1' });
await new Promise((listening) => server.once('listening', listening));
const address = server.address();
const port = typeof address === 'object' && address ? address.port : 0;
await pictures('state', `http://127.0.0.1:${port}`, STATES, async (options) =>
  (await browser.newContext(options)).newPage(),
);
server.close();
await browser.close();
console.log(`Pictures are in ${folder}`);
