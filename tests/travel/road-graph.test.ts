import fc from 'fast-check';
import { expect, test } from 'vitest';
import { greatCircleM } from '../../src/core/quantity/geodesy.ts';
import type { Position } from '../../src/core/quantity/units.ts';
import { greatCircleTable } from '../../src/travel/great-circle.ts';
import { readOsmRoads, type Street } from '../../src/travel/osm-roads.ts';
import { buildRoadGraph, roadPath, roadTable } from '../../src/travel/road-graph.ts';

const ESTIMATE = { detourFactor: 1.3, speedKmh: 30 };

/** Nodes on a grid of a hundredth of a degree; `ways` are node lists with tags. */
function osm(
  nodes: Record<string, [number, number]>,
  ways: [nodes: string, tags: Record<string, string>][],
): string {
  const n = Object.entries(nodes).map(
    ([id, [x, y]]) => `<node id="${id}" lat="${y / 100}" lon="${x / 100}"/>`,
  );
  const w = ways.map(([refs, tags]) => {
    const nd = [...refs].map((ref) => `<nd ref="${ref}"/>`).join('');
    const tag = Object.entries(tags).map(([k, v]) => `<tag k="${k}" v="${v}"/>`);
    return `<way id="1">${nd}${tag.join('')}</way>`;
  });
  return `<osm version="0.6">${n.join('')}${w.join('')}</osm>`;
}
const SQUARE: Record<string, [number, number]> = { a: [0, 0], b: [1, 0], c: [1, 1], d: [0, 1] };
const at = (x: number, y: number): Position => ({ lat: y / 100, lon: x / 100 });
const graphOf = (xml: string) => buildRoadGraph(readOsmRoads(xml));
const STREET = { highway: 'residential' };

test('a leg follows the street, not the straight line', () => {
  const graph = graphOf(osm(SQUARE, [['abc', STREET]]));
  const { table } = roadTable(graph, [at(0, 0), at(1, 1)], ESTIMATE);
  const alongM = greatCircleM(at(0, 0), at(1, 0)) + greatCircleM(at(1, 0), at(1, 1));
  expect(Math.abs(table.legM[1]! - alongM)).toBeLessThanOrEqual(1);
  expect(Math.abs(table.legS[1]! - (alongM * 3.6) / 25)).toBeLessThanOrEqual(1); // residential: 25 km/h
});

test('a one-way street is driven one way only, and backwards where it says -1', () => {
  const round: [string, Record<string, string>][] = [
    ['ab', { ...STREET, oneway: 'yes' }],
    ['bcda', STREET],
  ];
  const { table } = roadTable(graphOf(osm(SQUARE, round)), [at(0, 0), at(1, 0)], ESTIMATE);
  expect(table.legM[2]! / table.legM[1]!).toBeCloseTo(3, 1); // back round the other three sides
  const turned = osm(SQUARE, [
    ['ab', { ...STREET, oneway: '-1' }],
    ['bcda', STREET],
  ]);
  const back = roadTable(graphOf(turned), [at(0, 0), at(1, 0)], ESTIMATE).table;
  expect(back.legM[1]! / back.legM[2]!).toBeCloseTo(3, 1);
});

test.each([
  [{ highway: 'footway' }],
  [{ highway: 'residential', access: 'private' }],
  [{ highway: 'residential', motor_vehicle: 'no' }],
  [{ building: 'yes' }],
])('a van does not drive on %o', (tags) => {
  const { table } = roadTable(
    graphOf(
      osm(SQUARE, [
        ['ab', tags],
        ['bcda', STREET],
      ]),
    ),
    [at(0, 0), at(1, 0)],
    ESTIMATE,
  );
  expect(table.legM[1]! / greatCircleM(at(0, 0), at(1, 0))).toBeCloseTo(3, 1);
});

test('a lower limit makes a street slower, a limit in miles is read as such', () => {
  const secondsAt = (maxspeed: string) =>
    roadTable(graphOf(osm(SQUARE, [['ab', { ...STREET, maxspeed }]])), [at(0, 0), at(1, 0)], ESTIMATE).table
      .legS[1]!;
  expect(secondsAt('10')).toBeGreaterThan(secondsAt('20'));
  expect(secondsAt('10 mph') / secondsAt('16.09344')).toBeCloseTo(1, 3);
});

test('a place off the map and places that no street joins are estimated, and named', () => {
  const graph = graphOf(
    osm({ ...SQUARE, e: [5, 5], f: [6, 5] }, [
      ['ab', STREET],
      ['ef', STREET],
    ]),
  );
  const places = [at(0, 0), at(1, 0), at(5, 5), at(50, 50)];
  const { table, offRoad, unreachable } = roadTable(graph, places, ESTIMATE);
  expect(offRoad).toEqual([3]);
  expect(unreachable).toEqual([
    [0, 2],
    [1, 2],
    [2, 0],
    [2, 1],
  ]);
  const estimate = greatCircleTable(places, ESTIMATE);
  expect(table.legM[2]).toBe(estimate.legM[2]);
  expect(table.legM[3]).toBe(estimate.legM[3]);
  expect(table.legM[1]).not.toBe(estimate.legM[1]);
});

test('of two equally fast ways the shorter is taken', () => {
  const places = { a: at(0, 0), b: at(0.045, 0), c: at(0.0225, 0.015), d: at(0.0225, 0.001) };
  const street = (from: keyof typeof places, to: keyof typeof places, seconds: number): Street => ({
    name: '',
    highway: '',
    oneway: 'forward',
    nodes: [from, to],
    speedKmh: (greatCircleM(places[from], places[to]) * 3.6) / seconds,
  });
  // Ten seconds either way; the longer way, over c, is found first.
  const streets = [street('a', 'c', 3), street('c', 'b', 7), street('a', 'd', 5), street('d', 'b', 5)];
  const graph = buildRoadGraph({ positions: new Map(Object.entries(places)), streets });
  const { table } = roadTable(graph, [places.a, places.b], ESTIMATE);
  expect(table.legS[1]).toBe(10);
  expect(table.legM[1]).toBe(Math.round(greatCircleM(places.a, places.d) + greatCircleM(places.d, places.b)));
});

test('the drawn path is as long as the leg', () => {
  const graph = graphOf(osm(SQUARE, [['abcd', STREET]]));
  const path = roadPath(graph, at(0, 0), at(0, 1));
  const drawnM = path.slice(1).reduce((sum, p, i) => sum + greatCircleM(path[i]!, p), 0);
  const { table } = roadTable(graph, [at(0, 0), at(0, 1)], ESTIMATE);
  expect(Math.abs(drawnM - table.legM[1]!)).toBeLessThanOrEqual(1);
  expect(path[0]).toEqual(at(0, 0));
  expect(path.at(-1)).toEqual(at(0, 1));
});

test('a map that is no XML, that misses a node, or that has no street says so', () => {
  expect(() => readOsmRoads('<osm><node')).toThrow('The road map cannot be read');
  expect(() => readOsmRoads(osm({ a: [0, 0] }, [['az', { ...STREET, name: 'Rope Lane' }]]))).toThrow(
    '"Rope Lane"',
  );
  expect(() => graphOf(osm(SQUARE, [['ab', { highway: 'footway' }]]))).toThrow(
    'no street that a van may use',
  );
});

const randomStreets = fc.array(
  fc.record({
    nodes: fc.uniqueArray(fc.integer({ min: 0, max: 8 }).map(String), { minLength: 2, maxLength: 4 }),
    speedKmh: fc.constantFrom(10, 25, 40),
    oneway: fc.constantFrom<Street['oneway']>('no', 'no', 'forward', 'backward'),
  }),
  { minLength: 3, maxLength: 12 },
);

/** No three in a line, so that no street passes through a node that it does not name. */
const SCATTERED = new Map(
  Array.from({ length: 9 }, (_, i) => [String(i), at(0.3 * Math.cos(i) + 0.02 * i, 0.3 * Math.sin(1.7 * i))]),
);

test('on random streets the fastest ways are those of Floyd and Warshall', () => {
  // Floyd (1962), Algorithm 97, written out below: another method than Dijkstra's.
  const positions = SCATTERED;
  fc.assert(
    fc.property(randomStreets, (drawn) => {
      const streets = drawn.map((street) => ({ ...street, name: '', highway: 'residential' }));
      const far = Array.from({ length: 9 }, (_, i) =>
        Array.from({ length: 9 }, (__, j) => (i === j ? 0 : Number.POSITIVE_INFINITY)),
      );
      for (const { nodes, speedKmh, oneway } of streets)
        for (let i = 1; i < nodes.length; i++) {
          const [a, b] = [Number(nodes[i - 1]), Number(nodes[i])];
          const s = (greatCircleM(positions.get(String(a))!, positions.get(String(b))!) * 3.6) / speedKmh;
          if (oneway !== 'backward') far[a]![b] = Math.min(far[a]![b]!, s);
          if (oneway !== 'forward') far[b]![a] = Math.min(far[b]![a]!, s);
        }
      for (let k = 0; k < 9; k++)
        for (let i = 0; i < 9; i++)
          for (let j = 0; j < 9; j++) far[i]![j] = Math.min(far[i]![j]!, far[i]![k]! + far[k]![j]!);
      const used = [...new Set(streets.flatMap((street) => street.nodes))].sort();
      const { table, unreachable } = roadTable(
        buildRoadGraph({ positions, streets }),
        used.map((id) => positions.get(id)!),
        ESTIMATE,
      );
      used.forEach((from, i) => {
        used.forEach((to, j) => {
          const s = far[Number(from)]![Number(to)]!;
          expect(unreachable.some(([a, b]) => a === i && b === j)).toBe(s === Number.POSITIVE_INFINITY);
          if (s < Number.POSITIVE_INFINITY)
            expect(Math.abs(table.legS[i * used.length + j]! - s)).toBeLessThanOrEqual(1);
        });
      });
    }),
    { seed: 97 },
  );
});

test('on two-way streets every leg is the same both ways, to the metre and the second', () => {
  const positions = new Map(
    Array.from({ length: 9 }, (_, i) => [String(i), at((i % 3) * 0.3, Math.floor(i / 3) * 0.3)]),
  );
  fc.assert(
    fc.property(randomStreets, (drawn) => {
      const streets = drawn.map((street) => ({ ...street, name: '', highway: '', oneway: 'no' as const }));
      const places = [...positions.values()];
      const { legM, legS } = roadTable(buildRoadGraph({ positions, streets }), places, ESTIMATE).table;
      for (let i = 0; i < 9; i++)
        for (let j = 0; j < i; j++) {
          expect(legM[i * 9 + j]).toBe(legM[j * 9 + i]);
          expect(legS[i * 9 + j]).toBe(legS[j * 9 + i]);
        }
    }),
    { seed: 97 },
  );
});

test('without a map a leg is the great circle times the detour factor, at the mean speed', () => {
  const { legM, legS } = greatCircleTable([at(0, 0), at(1, 0)], ESTIMATE);
  expect([...legM]).toEqual([0, 1446, 1446, 0]); // 0.01 degree of the equator is 1111.95 m; times 1.3
  expect([...legS]).toEqual([0, 174, 174, 0]); // 1446 m at 30 km/h are 173.5 s
});
