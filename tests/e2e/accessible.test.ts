/** Every page against WCAG 2.2 AA by axe, in both themes, at desktop and phone size; and reflow at 320 CSS px (1.4.10). */
import { AxeBuilder } from '@axe-core/playwright';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { planWeek as searchWeek } from '../../src/core/planning/plan-week.ts';
import type { Role } from '../../src/core/vocabulary.ts';
import { inTransaction } from '../../src/store/db.ts';
import { listPlans, publishedPlan } from '../../src/store/plans.ts';
import { getSite, listSites } from '../../src/store/sites.ts';
import { listWeighInsOfSite } from '../../src/store/weigh-ins.ts';
import { saveWorthRun } from '../../src/store/worth-runs.ts';
import type { Planner } from '../../src/usecases/context.ts';
import { planToShow } from '../../src/usecases/plan-to-show.ts';
import { planWeek } from '../../src/usecases/plan-week.ts';
import { quoteExtraCollection } from '../../src/usecases/quote-extra-collection.ts';
import { requestExtraCollection } from '../../src/usecases/request-extra-collection.ts';
import { planInPlace } from '../fixtures/demo-app.ts';
import { driveYears, someWanted } from '../fixtures/worth-view.ts';
import { openBrowser } from './browser.ts';
import { DESK, openWorkplace, PHONE, type Workplace } from './workplace.ts';

let browser: Browser;
let place: Workplace;
let runId: string;

/** A week that is told of again and again, and never done: the page of a planning run stands still. */
const untilDropped: Planner = (problem, budget, { onProgress, drop }) => {
  let told = 0;
  searchWeek(
    problem,
    { ...budget, iterations: 200 },
    {
      onBest: ({ iteration, plan }) => {
        const { costMicros, money, rounds } = plan();
        const distanceM = rounds.reduce((sum, round) => sum + round.distanceM, 0);
        const forS = ++told / 5;
        onProgress?.({ iteration, share: iteration / budget.iterations, forS, costMicros, money, distanceM });
      },
    },
  );
  return new Promise((_, reject) => drop?.addEventListener('abort', () => reject(drop.reason)));
};
beforeAll(async () => {
  [browser, place] = await Promise.all([openBrowser(), openWorkplace({ planner: untilDropped })]);
  const run = place.planning.start({ seed: 1, iterations: 4000, actor: 'Ina Quarrell' });
  if (!run.ok) throw new Error(run.refusal.kind);
  runId = run.value.id;
  await planWeek(place.context, planInPlace, { seed: 2, iterations: 0, actor: 'test' });
  requestExtraCollection(place.context, {
    factId: 'waits-0001',
    siteId: listSites(place.context.store)[0]!.id,
    eventKind: 'festival',
    eventEndsAt: place.context.now() + 3600,
    expectedBags: 900,
    fromAt: place.context.now() + 3600,
    untilAt: place.context.now() + 4 * 86_400,
    remarks: 'behind the stage',
    hazards: '',
    requestedBy: 'test',
  });
  const wanted = someWanted(2);
  inTransaction(place.context.store, (tx) =>
    saveWorthRun(tx, {
      id: 'worth-1',
      startedAt: place.context.now(),
      startedBy: 'test',
      wanted,
      years: driveYears(wanted),
      tookS: 60,
      outcome: 'done',
    }),
  );
});
afterAll(async () => {
  await browser.close();
  await place.close();
});

/** Days that are offered, and none. */
const offerPaths = (siteId: string): string[] => {
  const at = place.context.now();
  return [5, 40_000].map((expectedBags) => {
    const quoted = quoteExtraCollection(place.context, {
      siteId,
      eventKind: 'festival',
      eventEndsAt: at + 3600,
      expectedBags,
      fromAt: at + 3600,
      untilAt: at + 4 * 86_400,
      remarks: '',
      hazards: '',
      askedBy: 'test',
    });
    if (!quoted.ok) throw new Error(quoted.refusal.kind);
    return `/donor/quotes/${quoted.value.quote.id}`;
  });
};

/** A stop and a site that waits, what would follow, another driver, and two plans compared. */
function changePaths(draftId: string, day: string, siteId: string): string[] {
  const { store } = place.context;
  const newest = planToShow(store)!;
  const published = publishedPlan(store)!;
  const left = newest.plan.leftOut[0]?.siteId ?? siteId;
  const plan = `/plans/${published.id}`;
  return [
    `${plan}/sites/${siteId}/change?day=${day}`,
    `/sites/${left}/visit`,
    `${plan}/what-if?kind=skip&site=${siteId}&day=${day}`,
    `${plan}/what-if?kind=move&site=${siteId}&day=${day}&to=${published.plan.days.at(-1)}`,
    `${plan}/room?site=${left}&to=${day}`,
    `${plan}/drivers/${published.rounds[0]!.shiftId}`,
    `${plan}/against/${draftId}`,
  ];
}

type Visit = { readonly role: Role; readonly subjectId: string; readonly paths: readonly string[] };
const visits = (): Visit[] => {
  const { store } = place.context;
  const [{ id: draftId } = { id: '' }] = listPlans(store, 'draft');
  const round = publishedPlan(store)!.rounds[0]!;
  const stop = round.stops.find((one) => one.kind === 'site')!;
  const site = getSite(store, stop.siteId!)!;
  return [
    {
      role: 'coordinator',
      subjectId: 'workshop',
      paths: [
        '/week',
        '/inbox',
        '/search?q=tu',
        '/map',
        '/sites',
        `/sites/${listSites(store)[0]!.id}`,
        `/sites/${listSites(store)[0]!.id}/position`,
        `/sites/${listSites(store)[0]!.id}/edit`,
        '/sites/new',
        `/rounds/${round.id}`,
        '/backtest',
        `/weigh-ins/${listWeighInsOfSite(store, site.id)[0]!.id}`,
        '/production',
        '/journal',
        '/happened',
        '/happened/surge-announced',
        '/happened/stop-missed',
        '/word',
        '/word/texts/visit-moved',
        '/links',
        '/fleet',
        '/fleet/vans/new',
        `/fleet/vans/${round.vanId}`,
        `/fleet/drivers/${round.driverId}`,
        `/fleet/shifts/${round.shiftId}`,
        '/settings',
        '/worth',
        `/planning/${runId}?refresh=no`,
        '/requests',
        `/changes?plan=${draftId}`,
        ...changePaths(draftId, round.day, site.id),
      ],
    },
    // The sheet that a script makes of them: offline.test.ts.
    {
      role: 'driver',
      subjectId: round.driverId,
      paths: ['/driver?plain=1', `/driver/stops/${stop.id}?plain=1`],
    },
    {
      role: 'donor',
      subjectId: site.donorId,
      paths: [
        '/donor',
        `/donor/sites/${site.id}/extra`,
        `/donor/sites/${site.id}/place`,
        '/donor/sorting',
        '/request',
        ...offerPaths(site.id),
      ],
    },
  ];
};

describe.each(['light', 'dark'] as const)('in the %s theme', (colorScheme) => {
  test.each([
    ['a desk', DESK],
    ['a phone', PHONE],
  ] as const)('axe finds no violation on %s', async (_name, size) => {
    for (const { role, subjectId, paths } of visits()) {
      const page = await place.enter(browser, role, subjectId, { ...size, colorScheme });
      for (const path of paths) {
        expect((await page.goto(place.origin + path))?.status(), path).toBe(200);
        const { violations } = await new AxeBuilder({ page })
          .withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'])
          .analyze();
        expect(
          violations.map(({ id, nodes }) => [path, id, nodes[0]?.html.slice(0, 160), nodes.length]),
        ).toEqual([]);
      }
      await page.context().close();
    }
  });
});

test('at 320 px the text of every page reflows without scrolling sideways', async () => {
  for (const { role, subjectId, paths } of visits()) {
    const page = await place.enter(browser, role, subjectId, { viewport: { width: 320, height: 640 } });
    for (const path of paths) {
      await page.goto(place.origin + path);
      const [scroll, client] = await page.evaluate(() => [
        document.documentElement.scrollWidth,
        document.documentElement.clientWidth,
      ]);
      expect(scroll, path).toBeLessThanOrEqual(client!);
    }
    await page.context().close();
  }
});
