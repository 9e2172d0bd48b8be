/** A site is registered and changed on a page, judged as an import judges it; its rule is shown in dates before it is kept. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { readEntriesAfter } from '../../../src/store/journal.ts';
import { getSite, listSites, type Site } from '../../../src/store/sites.ts';
import { siteRow } from '../../../src/usecases/export-table.ts';
import { cellsOfTyped, typedOfRow } from '../../../src/web/coordinator/site-edit/site-form.ts';
import { type Demo, ORIGIN, openDemo } from '../../fixtures/demo-app.ts';

let demo: Demo;
let token: string;
beforeAll(async () => {
  demo = await openDemo();
  token = demo.signIn('coordinator');
});
afterAll(() => demo.close());

const plain = (html: string): string => html.replaceAll(/<[^>]+>/g, ' ').replaceAll(/[\s\u00a0]+/g, ' ');
const sites = (): Site[] => listSites(demo.context.store);
const get = (path: string) => demo.app.request(path, { headers: { authorization: `Bearer ${token}` } });
const send = (path: string, typed: { readonly [field: string]: string }) =>
  demo.app.request(path, {
    method: 'POST',
    headers: { authorization: `Bearer ${token}`, origin: ORIGIN },
    body: new URLSearchParams(typed),
  });
const told = (kind: string) =>
  readEntriesAfter(demo.context.store, 0, 100_000).filter((entry) => entry.kind === kind);

/** What a browser would send of a page: each field as it stands. */
async function standing(path: string): Promise<{ [field: string]: string }> {
  const html = await (await get(path)).text();
  const form = /<form method="post" action="[^"]*" class="edit">(.*?)<\/form>/s.exec(html)![1]!;
  const text = (value: string): string =>
    value
      .replaceAll('&quot;', '"')
      .replaceAll('&#39;', "'")
      .replaceAll('&lt;', '<')
      .replaceAll('&gt;', '>')
      .replaceAll('&amp;', '&');
  const typed: { [field: string]: string } = {};
  for (const [tag] of form.matchAll(/<input [^>]*>/g)) {
    const name = / name="([^"]*)"/.exec(tag)?.[1] ?? '';
    if (/type="checkbox"/.test(tag) && !/ checked/.test(tag)) continue;
    typed[name] = text(/ value="([^"]*)"/.exec(tag)?.[1] ?? '');
  }
  for (const [, name = '', inner = ''] of form.matchAll(/<select [^>]*name="([^"]*)"[^>]*>(.*?)<\/select>/gs))
    typed[name] = / value="([^"]*)" selected/.exec(inner)?.[1] ?? /value="([^"]*)"/.exec(inner)![1]!;
  for (const [, name = '', inner = ''] of form.matchAll(
    /<textarea [^>]*name="([^"]*)"[^>]*>(.*?)<\/textarea>/gs,
  ))
    typed[name] = text(inner);
  return typed;
}

test('every site of the demo comes through its form unchanged', () => {
  for (const site of sites()) {
    const row = siteRow(site);
    const { key: _k, ...expected } = Object.fromEntries(
      Object.entries(row).map(([column, value]) => [column, value === null ? '' : String(value)]),
    );
    expect(cellsOfTyped(typedOfRow(row)), site.name).toEqual(expected);
  }
});

test('sent as it stands, a page changes nothing and tells nothing', async () => {
  for (const site of sites().slice(0, 6)) {
    const before = getSite(demo.context.store, site.id);
    const answer = await send(`/sites/${site.id}/edit`, {
      ...(await standing(`/sites/${site.id}/edit`)),
      intent: 'keep',
    });
    expect(answer.status, plain(await answer.text()).slice(0, 300)).toBe(303);
    expect(getSite(demo.context.store, site.id)).toEqual(before);
  }
  expect(told('site-changed')).toEqual([]);
});

test('a changed field is kept, told by its name, and nothing else is touched', async () => {
  const site = sites()[0]!;
  const typed = { ...(await standing(`/sites/${site.id}/edit`)), hours: 'mo-fr 06:00-15:00', intent: 'keep' };
  expect((await send(`/sites/${site.id}/edit`, typed)).headers.get('location')).toBe(
    `/sites/${site.id}?did=site-kept`,
  );
  const after = getSite(demo.context.store, site.id)!;
  expect({ ...after, hours: [] }).toEqual({ ...site, hours: [] });
  expect(after.hours).toHaveLength(5);
  expect(told('site-changed').at(-1)).toMatchObject({
    subject: `site:${site.id}`,
    facts: { columns: ['hours'] },
  });
  // The page that was looked at is old now.
  const stale = await send(`/sites/${site.id}/edit`, { ...typed, hours: 'mo 06:00-07:00' });
  expect(stale.status).toBe(409);
  expect(plain(await stale.text())).toContain('Somebody else changed this site meanwhile.');
});

test('looked at first, a rule is said in words with its next ten dates, and nothing is kept', async () => {
  const site = sites()[1]!;
  const typed = {
    ...(await standing(`/sites/${site.id}/edit`)),
    how: 'month-weekday',
    every: '1',
    nth: '-1',
    weekday: '5',
    rule_day: '2026-06-26',
    rule_clock: '09:00',
    rule_window_min: '90',
    rule_commitment: 'must',
    intent: 'look',
  };
  const html = await (await send(`/sites/${site.id}/edit`, typed)).text();
  // Last Fridays of the months from June 2026 on, by any calendar.
  for (const day of [
    '26 Jun 2026',
    '31 Jul 2026',
    '28 Aug 2026',
    '25 Sept 2026',
    '30 Oct 2026',
    '27 Nov 2026',
    '25 Dec 2026',
    '29 Jan 2027',
    '26 Feb 2027',
    '26 Mar 2027',
  ])
    expect(plain(html).replaceAll('Sept', 'Sep')).toContain(day.replace('Sept', 'Sep'));
  expect(html.match(/<ol class="edit-next">.*?<\/ol>/s)![0].match(/<li>/g)).toHaveLength(10);
  expect(plain(html)).toContain('Nothing was kept yet.');
  expect(getSite(demo.context.store, site.id)!.rules).toEqual(site.rules);
  await send(`/sites/${site.id}/edit`, { ...typed, intent: 'keep' });
  expect(getSite(demo.context.store, site.id)!.rules).toEqual([
    {
      rrule: 'FREQ=MONTHLY;BYDAY=-1FR',
      startsLocal: '2026-06-26T09:00',
      windowS: 5400,
      commitment: 'must',
      exceptDays: [],
      extraDays: [],
    },
  ]);
});

test.each([
  ['hours', 'mo-fr 18:00-08:00', 'hours over midnight are two pieces'],
  ['declared_bags_per_week', 'many', 'Write a number in bags'],
  ['contact_email', 'nobody', 'Is no e-mail address'],
  ['box0_litres', '-3', 'with the litres of one'],
  ['grades', 'gold:1', 'gold'],
])('a mistake in %s is refused beside its field, with what was typed', async (column, value, words) => {
  const site = sites()[2]!;
  const answer = await send(`/sites/${site.id}/edit`, {
    ...(await standing(`/sites/${site.id}/edit`)),
    [column]: value,
    intent: 'keep',
  });
  const html = await answer.text();
  expect(answer.status).toBe(422);
  expect(plain(html)).toContain(words);
  expect(html).toContain(`value="${value}"`);
  expect(getSite(demo.context.store, site.id)).toEqual(site);
});

test('a new site gets a key of its own, is told, and is put on the map next; the same name again gets another key', async () => {
  const typed = {
    ...(await standing('/sites/new')),
    name: 'Früh & Co',
    kind: 'office',
    box0_kind: 'sack',
    box0_count: '3',
    box0_litres: '100',
    intent: 'keep',
  };
  const first = await send('/sites/new', typed);
  expect(first.status).toBe(303);
  const made = sites().find(({ key }) => key === 'fruh-co')!;
  expect(first.headers.get('location')).toBe(`/sites/${made.id}/position`);
  expect(made).toMatchObject({
    name: 'Früh & Co',
    kind: 'office',
    serviceS: 480,
    containers: [{ kind: 'sack', count: 3, litresEach: 100 }],
  });
  expect(told('site-registered')).toHaveLength(1);
  await send('/sites/new', typed);
  expect(sites().map(({ key }) => key)).toContain('fruh-co-2');
});

test('a site that is not there cannot be changed', async () => {
  expect((await get('/sites/none/edit')).status).toBe(404);
  expect((await send('/sites/none/edit', { name: 'x' })).status).toBe(404);
});
