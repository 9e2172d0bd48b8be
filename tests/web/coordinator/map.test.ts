/** The map by what a person reads on it, and what keeps its marks apart. */
import { expect, test } from 'vitest';
import { overlaps } from '../../../src/core/mapping/labels.ts';
import { greatCircleM } from '../../../src/core/quantity/geodesy.ts';
import { layOutMap, PLATE } from '../../../src/web/coordinator/map/map-layout.ts';
import { besideMark, stopFacts, windowWords } from '../../../src/web/coordinator/map/map-words.ts';
import { dayMapView, mapStop, mapView } from '../../fixtures/map-view.ts';
import { previewApp } from '../../fixtures/preview-app.ts';

const read = async (path: string, view = dayMapView()): Promise<string> =>
  (await previewApp({ readDayMap: () => view }).request(path)).text();
const plain = (html: string): string => html.replaceAll(/<[^>]+>/g, ' ').replaceAll(/\s+/g, ' ');

test('every stop stands on the map as a link with its facts, and in the list beside it', async () => {
  const html = await read('/map');
  for (const round of dayMapView().rounds)
    for (const stop of round.stops) {
      const key = `${round.roundId}-${stop.number}`;
      expect(html).toContain(`data-stop="${key}"`);
      expect(html).toContain(`data-row="${key}"`);
      expect(html).toContain(`<title>${round.letter}${stop.number}. ${stop.name.replace('&', '&amp;')}`);
    }
});

test('two rounds differ by letter, by shape and by their dashes, not by colour alone', async () => {
  const html = await read('/map');
  expect(html).toContain('class="way way-0"');
  expect(html).toContain('class="way way-1"');
  expect(html).toMatch(/plate way-0"><circle/);
  expect(html).toMatch(/plate way-1"><rect/);
  expect(plain(html)).toContain('A Heron, Ina Quarrell');
  expect(plain(html)).toContain('B Swift, Ina Quarrell');
});

test('one round alone needs no letter', async () => {
  const view = dayMapView({ rounds: dayMapView().rounds.slice(0, 1) });
  const html = await read('/map', view);
  expect(html).toContain('<title>1. Wharf Stores');
});

test('a site that waits says when it is visited next; one far away is counted, not drawn', async () => {
  const html = await read('/map');
  expect(html).toContain('Not visited on this day; next Thu 5 Mar');
  expect(html).not.toContain('<title>Far Barn');
  expect(plain(html)).toContain('One site lies beyond this map');
});

test('a day without a round says so, and still shows the sites', async () => {
  const html = await read('/map?day=2026-03-03', dayMapView({ rounds: [] }));
  expect(plain(html)).toContain('No round on this day');
  expect(html).toContain('<title>Ferry Kiosk');
});

test.each([
  ['/map?day=soon', 422, 'is no day'],
  ['/map?plan=nowhere', 404, 'no such plan'],
])('%s is refused with a way on', async (path, status, words) => {
  const answer = await previewApp().request(path);
  expect(answer.status).toBe(status);
  expect((await answer.text()).toLowerCase()).toContain(words);
});

test('numbers do not cover each other, though two sites are neighbours', () => {
  const { stops } = layOutMap(mapView(), (stop) => stop.name);
  for (const [i, a] of stops.entries())
    for (const b of stops.slice(0, i)) {
      const apart = Math.hypot(
        a.at.x + a.plate.x - b.at.x - b.plate.x,
        a.at.y + a.plate.y - b.at.y - b.plate.y,
      );
      expect(apart).toBeGreaterThan(2 * PLATE - 1);
    }
});

test('film covers an area in proportion to its mass', () => {
  const { stops } = layOutMap(mapView(), (stop) => stop.name);
  const areas = stops.map(({ filmRadius, stop }) => (filmRadius * filmRadius) / stop.expectedKg);
  for (const area of areas) expect(area).toBeCloseTo(areas[0]!, 9);
});

test('distances on the map are those of its scale bar', () => {
  const view = mapView();
  const { stops, home, bar } = layOutMap(view, (stop) => stop.name);
  const unitsPerM = bar.units / bar.metres;
  for (const { at, stop } of stops) {
    const metres = greatCircleM(view.workshop.at, stop.at);
    // Within 2 km of 51.5°, the parallel's shortening is below 0.05 %.
    expect(Math.abs(Math.hypot(at.x - home.x, at.y - home.y) / unitsPerM / metres - 1)).toBeLessThan(0.001);
  }
});

test('labels of the stops keep clear of each other', () => {
  const { stops } = layOutMap(mapView(), () => '08:20');
  const boxes = stops.flatMap(({ at, label, size }) => {
    if (!label) return [];
    const x = at.x + label.at.x;
    const left = label.anchor === 'start' ? x : label.anchor === 'end' ? x - size.width : x - size.width / 2;
    return [
      { left, right: left + size.width, top: at.y + label.at.y, bottom: at.y + label.at.y + size.height },
    ];
  });
  expect(boxes.length).toBe(stops.length);
  for (const [i, a] of boxes.entries()) for (const b of boxes.slice(0, i)) expect(overlaps(a, b)).toBe(false);
});

test('a window is told beside a mark where it binds, and in full on asking', () => {
  const [round] = mapView().rounds;
  const [promised] = round!.stops;
  const wide = mapStop(1, { windows: [{ fromAt: round!.startAt - 3600, untilAt: round!.endAt + 3600 }] });
  expect(besideMark(round!, promised!, 'UTC')).toBe('08:00, promised 08:00–10:00');
  expect(besideMark(round!, wide, 'UTC')).toBe('08:15');
  expect(windowWords(wide, 'UTC')).toBe('open 06:00–13:00');
  expect(stopFacts(mapStop(1), { zone: 'UTC', currency: 'GBP' }).join('\n').replaceAll('\u00a0', ' ')).toBe(
    '08:15–08:23, any time\nAbout 17 kg (11–24 kg), 850 L',
  );
});
