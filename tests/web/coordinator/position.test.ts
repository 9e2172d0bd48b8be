/** A site's position is corrected on a page without a script, and refused with a sentence where it cannot be right. */

import { distance as turfDistance } from '@turf/turf';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { readEntriesAfter } from '../../../src/store/journal.ts';
import { getSite, listSites, type Site } from '../../../src/store/sites.ts';
import { type Demo, ORIGIN, openDemo } from '../../fixtures/demo-app.ts';

let demo: Demo;
let token: string;
let site: Site;
beforeAll(async () => {
  demo = await openDemo();
  token = demo.signIn('coordinator');
  site = listSites(demo.context.store)[0]!;
});
afterAll(() => demo.close());

const path = () => `/sites/${site.id}/position`;
const look = (query = '') =>
  demo.app.request(path() + query, { headers: { authorization: `Bearer ${token}` } });
const keep = (over: { readonly [field: string]: string } = {}) =>
  demo.app.request(path(), {
    method: 'POST',
    headers: { authorization: `Bearer ${token}`, origin: ORIGIN },
    body: new URLSearchParams({
      lat: String(site.lat),
      lon: String(site.lon),
      lat_before: String(site.lat),
      lon_before: String(site.lon),
      ...over,
    }),
  });

test('the page shows the place in figures and on the map', async () => {
  const html = await (await look()).text();
  expect(html).toContain(`value="${site.lat}"`);
  expect(html).toContain('data-moved');
  expect(html).toContain('As the register has it.');
});

test('a proposed place is looked at without a script before it is kept', async () => {
  const html = await (await look(`?lat=${site.lat + 0.001}&lon=${site.lon}`)).text();
  // A thousandth of a degree of latitude: 111 m.
  expect(html).toMatch(/111\sm from where the register has it/);
  expect((await look('?lat=north&lon=1')).status).toBe(422);
});

test.each([
  ['no number', { lat: 'north' }, 'A number of degrees'],
  ['the wrong way about', { lat: '-19.34', lon: '46.22' }, 'look swapped'],
  ['another continent', { lat: '1', lon: '2' }, 'far from the workshop'],
])('%s is refused with a sentence, and what was typed stays', async (_what, typed, words) => {
  const answer = await keep(typed);
  const html = await answer.text();
  expect(answer.status).toBe(422);
  expect(html).toContain(words);
  expect(html).toContain(`value="${typed.lat}"`);
  expect(getSite(demo.context.store, site.id)!.lat).toBe(site.lat);
});

test('kept, it is told in the journal with how far it moved; the same again changes nothing; a stale one is refused', async () => {
  const lat = Math.round((site.lat + 0.002) * 1e6) / 1e6;
  // A comma is taken as meant.
  expect((await keep({ lat: String(lat).replace('.', ',') })).headers.get('location')).toBe(
    `/sites/${site.id}?did=moved`,
  );
  expect(getSite(demo.context.store, site.id)!.lat).toBe(lat);
  const told = () =>
    readEntriesAfter(demo.context.store, 0, 100_000).filter(({ kind }) => kind === 'site-moved');
  expect(told()).toHaveLength(1);
  const movedM = turfDistance([site.lon, site.lat], [site.lon, lat], { units: 'meters' });
  expect(told()[0]!.facts).toMatchObject({ lat, latBefore: site.lat, movedM: Math.round(movedM) });
  expect((await keep({ lat: String(lat) })).status).toBe(303);
  expect(told()).toHaveLength(1);
  const stale = await keep({ lat: String(lat + 0.001) });
  expect(stale.status).toBe(409);
  expect(await stale.text()).toContain('Somebody else corrected this position meanwhile');
});

test('a site that is not there has no place', async () => {
  const answer = await demo.app.request('/sites/none/position', {
    headers: { authorization: `Bearer ${token}` },
  });
  expect(answer.status).toBe(404);
});
