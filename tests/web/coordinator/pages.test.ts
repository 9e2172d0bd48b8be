/** The coordinator's pages by status and by what a person reads. */
import { expect, test } from 'vitest';
import { refuse } from '../../../src/core/quantity/result.ts';
import { scoreHistory } from '../../../src/usecases/score-history.ts';
import { plainSpaces } from '../../../src/web/shared/format.ts';
import { backtestView } from '../../fixtures/desk-views.ts';
import { previewApp } from '../../fixtures/preview-app.ts';
import { smallStore } from '../../fixtures/small-store.ts';
import { weekSheetView } from '../../fixtures/week-sheet-view.ts';

/** What is read, without markup. */
async function read(
  path: string,
  app = previewApp(),
): Promise<{ status: number; html: string; text: string }> {
  const answer = await app.request(path);
  const html = await answer.text();
  const text = plainSpaces(
    html
      .replaceAll(/<[^>]+>/g, ' ')
      .replaceAll('&amp;', '&')
      .replaceAll(/\s+/g, ' '),
  );
  return { status: answer.status, html, text };
}
const post = (path: string, body = '', app = previewApp()) =>
  app.request(path, {
    method: 'POST',
    body,
    headers: { 'content-type': 'application/x-www-form-urlencoded' },
  });

test('the week sheet shows every site once as a strip and every planned stop with its reason', async () => {
  const view = weekSheetView();
  const { status, html, text } = await read('/week');
  expect(status).toBe(200);
  expect(html.match(/class="row strip whole"/g)).toHaveLength(view.strips.length);
  const stops = view.rounds.flatMap(({ round }) => round.stops.filter((stop) => stop.kind === 'site'));
  expect(stops.length).toBeGreaterThan(10);
  expect(html.match(/class="stop stop-site"/g)).toHaveLength(stops.length);
  for (const strip of view.strips) expect(text).toContain(strip.name);
});

test('a long register is drawn in part, most urgent first, and whole when asked', async () => {
  const view = weekSheetView();
  const strips = Array.from({ length: 200 }, (_, i) => ({
    ...view.strips[i % view.strips.length]!,
    name: `Site number ${i}`,
  }));
  const app = previewApp({ readWeekSheet: () => ({ ...view, strips }) });
  const part = await read('/week', app);
  expect(part.html.match(/class="row strip whole"/g)).toHaveLength(80);
  expect(part.text).toContain('Draw the other 120 sites as well');
  expect((await read('/week?all=yes', app)).html.match(/class="row strip whole"/g)).toHaveLength(200);
});

test('the strips stand in the order of urgency', () => {
  const risks = weekSheetView().strips.map((strip) => strip.overflowRisk);
  risks.slice(1).forEach((risk, i) => {
    expect(risk).toBeLessThanOrEqual(risks[i]! + 0.005);
  });
});

test('a fan falls to nothing where a visit takes the film away, and rises again from there', () => {
  const strip = weekSheetView().strips.find((one) => one.fans.length === 2)!;
  expect(strip.fans[0]!.at(-1)!.at).toBe(strip.fans[1]![0]!.at);
  expect(strip.fans[0]!.at(-1)!.medianKg).toBeGreaterThan(0);
  expect(strip.fans[1]![0]!).toMatchObject({ lowKg: 0, medianKg: 0, highKg: 0 });
  expect(strip.fans[1]!.at(-1)!.highKg).toBeGreaterThan(0);
});

test('all grades together are the sum of the planner’s stock, day by day', () => {
  const view = weekSheetView();
  view.stock.days.forEach((day, i) => {
    const sum = view.grades.reduce((kg, line) => kg + line.days[i]!.drawKg, 0);
    expect(day.drawKg).toBeCloseTo(sum, 9);
  });
});

test('a promise that cannot be kept stands above the sheet with what would mend it', async () => {
  const { text } = await read('/week?plan=unkept');
  expect(text).toContain('One promise cannot be kept');
  expect(text).toContain('no van is on the road then');
  expect(text).toContain('Add a shift on that day.');
  expect(text.indexOf('One promise')).toBeLessThan(text.indexOf('Store and production'));
});

test('a draft can be published and the week planned again; an empty register teaches instead', async () => {
  const { html } = await read('/week');
  expect(html).toContain('action="/plans/plan-1/publish"');
  expect(html).toContain('action="/week/plan"');
  const empty = await read('/week?plan=empty');
  expect(empty.text).toContain('A week needs five things.');
  expect(empty.html).not.toContain('action="/week/plan"');
});

test('before there is a workshop every page shows the first steps instead of an error', async () => {
  const app = previewApp({
    hasWorkshop: () => false,
    readWeekSheet: () => {
      throw new Error('there is nothing to read');
    },
  });
  for (const path of ['/week', '/sites', '/sites/site-0', '/links']) {
    const { status, text } = await read(path, app);
    expect(status).toBe(200);
    expect(text).toContain('Nothing is in the database yet');
  }
});

test('publishing leads back to the week', async () => {
  const published = await post('/plans/plan-1/publish');
  expect([published.status, published.headers.get('location')]).toEqual([303, '/week?did=published']);
});

test('publishing what is no draft is a conflict', async () => {
  expect((await post('/plans/plan-9/publish')).status).toBe(409);
});

test.each(['/week?plan=nowhere', '/sites/nobody', '/sites/a%2Fb', '/rounds/none'])(
  '%s is not found, in words',
  async (path) => {
    const { status, text } = await read(path);
    expect(status).toBe(404);
    expect(text).toMatch(/No such (plan|site|round)/);
  },
);

test('a name is never markup', async () => {
  const view = weekSheetView();
  const strips = view.strips.map((strip, i) => (i === 0 ? { ...strip, name: '<b>9</b>' } : strip));
  const { html } = await read('/week', previewApp({ readWeekSheet: () => ({ ...view, strips }) }));
  expect(html).toContain('&lt;b&gt;9&lt;/b&gt;');
  expect(html).not.toContain('<b>9</b>');
});

test('a weigh-in that does not fit is named on the week, the sites and the site, with both answers', async () => {
  expect((await read('/week')).text).toContain('1 weigh-in does not fit: 310 kg at Otter &');
  expect((await read('/week')).text).toContain('expected 20–45 kg');
  for (const path of ['/sites', '/sites/site-0']) {
    const { html, text } = await read(path);
    expect(text).toContain('310 kg on 28 Jan 2026 , expected 20–45 kg');
    expect(html).toContain('action="/weigh-ins/w-4/confirmation"');
    expect(html).toContain('href="/weigh-ins/w-4#correct"');
    expect(html).toMatch(/href="\/backtest/);
  }
});

test('saying that the figure is right leads back to its site; of what is gone, nowhere', async () => {
  const done = await post('/weigh-ins/w-4/confirmation');
  expect([done.status, done.headers.get('location')]).toEqual([303, '/sites/site-0?did=confirmed']);
  expect((await read('/sites/site-0?did=confirmed')).text).toContain('counts in full from now on');
  expect((await post('/weigh-ins/w-9/confirmation')).status).toBe(404);
  expect((await read('/weigh-ins/w-9')).status).toBe(404);
});

test('confirming what was corrected meanwhile is a conflict that shows what stands', async () => {
  const app = previewApp({ confirmWeighIn: () => refuse({ kind: 'was-corrected', weighInId: 'w-4' }) });
  const answer = await post('/weigh-ins/w-4/confirmation', '', app);
  expect(answer.status).toBe(409);
  expect(await answer.text()).toContain('corrected meanwhile');
});

test('a correction comes filled, comes back with a sentence beside what is wrong, and leads to what stands', async () => {
  const { html } = await read('/weigh-ins/w-4');
  expect(html).toContain('value="310"');
  expect(html).toContain('value="2026-01-28T09:30"');
  const form = 'factId=fact-1&replacesId=w-4&site=site-0&collectedLocal=2026-01-28T09:30';
  const wrong = await post('/weigh-ins/w-4/correction', `${form}&netKg=many`);
  expect(wrong.status).toBe(422);
  const text = await wrong.text();
  expect(text).toContain('value="many"');
  expect(text).toContain('Type kilograms as a number');
  const elsewhere = await post('/weigh-ins/w-4/correction', `${form.replace('site-0', 'site-7')}&netKg=31`);
  expect(await elsewhere.text()).toContain('Choose a site from the list');
  const done = await post('/weigh-ins/w-4/correction', `${form}&netKg=31`);
  expect([done.status, done.headers.get('location')]).toEqual([303, '/weigh-ins/fact-1?did=corrected']);
});

test('the back-test says in plain words how many lay inside, and sorts its sites by a link', async () => {
  const { text } = await read('/backtest');
  expect(text).toContain('Of 100 pickups, 78 lay inside the interval that should hold 80.');
  expect(text).toContain('You can take the intervals at their word.');
  expect(text).toContain('4 % better than the best simple rule');
  const place = (body: string, name: string) => body.lastIndexOf(name);
  expect(place(text, 'Otter')).toBeLessThan(place(text, 'Larch'));
  const byName = (await read('/backtest?order=name')).text;
  expect(place(byName, 'Larch')).toBeLessThan(place(byName, 'Otter'));
});

test('while it is worked out the page looks again by itself, unless told not to', async () => {
  const app = previewApp({
    readBacktest: async () => ({
      ...backtestView(),
      state: { kind: 'running', phase: 'scoring', forS: 3 },
    }),
  });
  const { html, text } = await read('/backtest', app);
  expect(html).toContain('http-equiv="refresh"');
  expect(text).toContain('Step 2 of 2');
  expect((await read('/backtest?refresh=no', app)).html).not.toContain('http-equiv="refresh"');
  expect((await read('/backtest')).html).not.toContain('http-equiv="refresh"');
});

test('with too little history the back-test teaches', async () => {
  const nothing = scoreHistory(smallStore());
  const app = previewApp({
    readBacktest: async () => ({ ...backtestView(), state: { kind: 'ready', scored: nothing } }),
  });
  const { text } = await read('/backtest', app);
  expect(text).toContain('nothing has been weighed');
  expect(text).toContain('npx feedround import weigh-ins FILE');
});

test.each([
  '/week',
  '/sites',
  '/sites/site-0',
  '/weigh-ins/w-4',
  '/backtest',
  '/rounds/round-0',
  '/production',
  '/links',
])(
  '%s has one heading of the first rank, no inline style, no inline script, and ids that are unique',
  async (path) => {
    const { status, html } = await read(path);
    expect(status).toBe(200);
    expect(html.startsWith('<!doctype html>')).toBe(true);
    expect(html.match(/<h1[ >]/g)).toHaveLength(1);
    expect(html).not.toMatch(/\sstyle=|<script(?![^>]* src=)|\son[a-z]+=/);
    const ids = [...html.matchAll(/\sid="([^"]+)"/g)].map(([, id]) => id);
    expect(new Set(ids).size).toBe(ids.length);
    expect(html).not.toMatch(/NaN|undefined|Infinity|\[object/);
  },
);

test('the site page tells how full, how we know, and the next dates of its rule', async () => {
  const { text } = await read('/sites/site-0');
  expect(text).toMatch(/About \d+ kg waiting \(\d+–\d+ kg\), \d+ % of the brim/);
  expect(text).toContain(
    '23 weigh-ins, the last 5 days ago. Declared 38 bags a week; comes to about 23 (42 kg).',
  );
  expect(text).toContain('Every Wednesday, 09:00 to 12:00 (promised)');
  expect(text.match(/Wed \d+ (Mar|Apr|May)/g)!.length).toBeGreaterThanOrEqual(10);
  expect(text).toContain('Two steps down to the yard');
});

test('the list of sites can be searched, and says when nothing fits', async () => {
  expect((await read('/sites?q=laundry')).text).toContain('1 of 26 fit “laundry”');
  expect((await read('/sites?q=zeppelin')).text).toContain('None of the 26 sites fits “zeppelin”');
});

test('a new link is shown once, on the answer itself and never in an address', async () => {
  const made = await post('/links', 'role=driver&driver=driver-0');
  expect(made.status).toBe(201);
  expect(made.headers.get('location')).toBeNull();
  expect(made.headers.get('cache-control')).toBe('no-store');
  expect(await made.text()).toContain('/enter/driver/abcdefghijklmnopqrstuvwxyz012345');
  expect((await read('/links')).html).not.toContain('/enter/');
});

test('a form for a link without a name comes back and says so', async () => {
  const answer = await post('/links', 'role=donor&donor=');
  expect(answer.status).toBe(422);
  expect(await answer.text()).toContain('Choose whose link it is.');
});

test('withdrawing leads back to the list; an unknown link is not found', async () => {
  const done = await post('/links/withdraw', 'hash=hash-of-a-drivers-link-0001');
  expect([done.status, done.headers.get('location')]).toEqual([303, '/links?did=withdrawn']);
  expect((await post('/links/withdraw', 'hash=another-link-altogether')).status).toBe(404);
});
