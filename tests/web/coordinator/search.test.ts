/** One box finds what has a name or a date, and every hit leads somewhere. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { readSearch } from '../../../src/web/coordinator/search/read-search.ts';
import { type Demo, openDemo } from '../../fixtures/demo-app.ts';

let demo: Demo;
let token: string;
beforeAll(async () => {
  demo = await openDemo();
  token = demo.signIn('coordinator');
});
afterAll(() => demo.close());

const search = (text: string) => readSearch(demo.context.store, demo.context.now(), text);
const found = (text: string, title: string): string[] =>
  search(text)
    .groups.find((group) => group.title === title)
    ?.found.map(({ name }) => name) ?? [];
const get = (path: string) => demo.app.request(path, { headers: { authorization: `Bearer ${token}` } });

test.each([
  ['bexbury', 'Sites', 'Bexbury Homeware'],
  ['OLD town hall', 'Sites', 'Town hall'],
  ['pennywhistle', 'Donors', 'Pennywhistle'],
  ['black', 'Grades', 'LDPE black'],
  ['garden film', 'Grades', 'LDPE black'],
  ['kite', 'Vans and drivers', 'Kite'],
  ['tobin', 'Vans and drivers', 'Tobin Ashlock'],
  ['16 June', 'Days', 'Map of 16 June 2026'],
  ['tuesday', 'Days', 'Map of 16 June 2026'],
])('"%s" finds among %s: %s', (text, title, name) => {
  expect(found(text, title).some((one) => one.startsWith(name))).toBe(true);
});

test('every hit leads to a page', async () => {
  for (const text of ['bexbury', 'pennywhistle', 'black', 'kite', 'tobin', '16 June'])
    for (const { found: hits } of search(text).groups)
      for (const { to } of hits) expect((await get(to)).status, to).toBe(200);
});

test('nothing found, and nothing asked, say what may be asked', async () => {
  for (const text of ['', 'xyzzy']) {
    expect(search(text).groups).toEqual([]);
    expect(await (await get(`/search?q=${text}`)).text()).toContain('Type part of the name of a site');
  }
});

test('what was typed comes back as text, whatever it is', async () => {
  const html = await (await get(`/search?q=${encodeURIComponent('<b>"9"</b>')}`)).text();
  expect(html).not.toContain('<b>"9"');
  expect(html).toContain('value="&lt;b&gt;&quot;9&quot;&lt;/b&gt;"');
});
