/**
 * The invented town of Tarrowmere on the river Ellow: its river, districts and streets.
 * An old town inside a ring street north of a bend, quarters around it, a trading estate in the south-east,
 * and two bridges as the only ways across.
 */
import { add, apart, curve, isInside, leftOf, meeting, mix, type Point, scale, simplify, toLine } from './plane.ts';

export const WIDTH_M = 6000;
export const HEIGHT_M = 4000;
const RIVER_HALF_M = 48;
const BANK_M = 95; // streets keep away from the middle of the river, except on bridges
const SQUARE: Point = [2950, 2560];

export const RIVER: readonly Point[] = curve(
  [[-150, 2780], [700, 2700], [1450, 2330], [2150, 1870], [2950, 1760], [3650, 1990], [4300, 2260], [4950, 2120], [5500, 1700], [6150, 1530]],
  8,
);

const ellipse = (rx: number, ry: number, points: number): Point[] =>
  Array.from({ length: points + 1 }, (_, i): Point => {
    const a = (2 * Math.PI * (i % points)) / points + Math.PI / 2;
    return [SQUARE[0] + rx * Math.cos(a), SQUARE[1] + ry * Math.sin(a)];
  });
export const RING: readonly Point[] = ellipse(540, 450, 24);

export type District = { readonly name: string; readonly ring: readonly Point[]; readonly labelAt: Point };

const shifted = (by: number): Point[] =>
  RIVER.map((p, i) => {
    const from = RIVER[Math.max(0, i - 1)]!;
    const to = RIVER[Math.min(RIVER.length - 1, i + 1)]!;
    return add(p, scale(leftOf(from, to), by));
  });
const NORTH_BANK = shifted(RIVER_HALF_M);
const SOUTH_BANK = shifted(-RIVER_HALF_M);

/** The part of a bank between two eastings, both ends cut exactly. */
function bank(line: readonly Point[], fromX: number, untilX: number): Point[] {
  const at = (x: number): Point => {
    const i = line.findIndex((p) => p[0] >= x);
    const a = line[i - 1]!;
    const b = line[i]!;
    return mix(a, b, (x - a[0]) / (b[0] - a[0]));
  };
  return [at(fromX), ...line.filter((p) => p[0] > fromX && p[0] < untilX), at(untilX)];
}
function closed(ring: readonly Point[]): Point[] {
  return [...ring, ring[0]!];
}
/** Part of the ring street, from one index to another (24 pieces, counter-clockwise, from the north). */
const arc = (from: number, until: number): Point[] => RING.slice(from, until + 1);

/** Counter-clockwise, as RFC 7946 section 3.1.6 asks of outer rings; so are the districts. */
export const RIVER_RING: readonly Point[] = closed([...bank(SOUTH_BANK, 0, WIDTH_M), ...bank(NORTH_BANK, 0, WIDTH_M).reverse()]);

const W = 2180;
const E = 3720;
export const DISTRICTS: readonly District[] = [
  { name: 'Old Town', ring: RING, labelAt: [2950, 2760] },
  { name: 'Kilnhill', ring: closed([[E, HEIGHT_M], [W, HEIGHT_M], [W, 3150], ...arc(0, 4).reverse(), ...arc(20, 24).reverse().slice(1), [E, 3150]]), labelAt: [2950, 3500] },
  { name: 'Westgardens', ring: closed([...bank(NORTH_BANK, 0, W), [W, 2300], ...arc(4, 8).reverse(), [W, 3150], [W, HEIGHT_M], [0, HEIGHT_M]]), labelAt: [1050, 3300] },
  { name: 'Quayside', ring: closed([...bank(NORTH_BANK, W, E), [E, 2300], ...arc(8, 16).reverse(), [W, 2300]]), labelAt: [3060, 1960] },
  { name: 'Eastmead', ring: closed([...bank(NORTH_BANK, E, WIDTH_M), [WIDTH_M, HEIGHT_M], [E, HEIGHT_M], [E, 3150], ...arc(16, 20).reverse(), [E, 2300]]), labelAt: [4800, 3200] },
  { name: 'Fullers Green', ring: closed([[0, 0], [2350, 0], ...bank(SOUTH_BANK, 0, 2350).reverse()]), labelAt: [1100, 1250] },
  { name: 'Overwater', ring: closed([[2350, 0], [3950, 0], ...bank(SOUTH_BANK, 2350, 3950).reverse()]), labelAt: [3150, 800] },
  { name: 'Ellow Estate', ring: closed([[3950, 0], [WIDTH_M, 0], ...bank(SOUTH_BANK, 3950, WIDTH_M).reverse()]), labelAt: [4900, 900] },
];

export function districtAt(p: Point): string {
  const found = DISTRICTS.find((d) => isInside(p, d.ring));
  if (!found) throw new Error(`no district at ${p[0]}, ${p[1]}`);
  return found.name;
}

// ---- streets -------------------------------------------------------------------------------------------

export type Street = {
  readonly name: string;
  readonly highway: 'secondary' | 'tertiary' | 'residential' | 'living_street' | 'unclassified' | 'service';
  readonly maxspeedKmh: number;
  readonly line: readonly Point[];
  readonly oneway?: true;
  readonly bridge?: true;
  /** Reaches out of the map or is a way in itself: its loose ends stay. */
  readonly through?: true;
};

const by = (x: number, y: number): Point => [SQUARE[0] + x, SQUARE[1] + y];
const SOUTH_GATE = RING[12]!;
const NORTH_GATE = RING[0]!;
const WEST_GATE = RING[6]!;
const EAST_GATE = RING[18]!;
const OLD_BRIDGE: readonly Point[] = [[2950, 1870], [2955, 1650]];
const MILL_BRIDGE: readonly Point[] = [[4560, 2350], [4530, 2110]];

const MAIN_STREETS: readonly Street[] = [
  { name: 'Ring Street', highway: 'secondary', maxspeedKmh: 50, line: RING, through: true },
  { name: 'Market Square', highway: 'living_street', maxspeedKmh: 20, line: [by(-75, 50), by(-75, -50), by(75, -50), by(75, 50), by(-75, 50)], through: true },
  { name: 'Inner Row', highway: 'residential', maxspeedKmh: 30, line: ellipse(290, 245, 16), through: true },
  { name: 'Hill Street', highway: 'tertiary', maxspeedKmh: 30, line: [by(0, 50), NORTH_GATE], through: true },
  { name: 'Bridge Street', highway: 'tertiary', maxspeedKmh: 30, line: [by(0, -50), SOUTH_GATE, OLD_BRIDGE[0]!], through: true },
  { name: 'Weavers Street', highway: 'tertiary', maxspeedKmh: 30, line: [by(-75, 0), WEST_GATE], through: true },
  { name: 'Chapel Street', highway: 'tertiary', maxspeedKmh: 30, line: [by(75, 0), EAST_GATE], through: true },
  { name: 'Candle Lane', highway: 'residential', maxspeedKmh: 30, oneway: true, line: [by(-75, 50), by(-205, 173), RING[3]!], through: true },
  { name: 'Cooper Lane', highway: 'residential', maxspeedKmh: 30, oneway: true, line: [RING[21]!, by(205, 173), by(75, 50)], through: true },
  { name: 'Fish Lane', highway: 'residential', maxspeedKmh: 30, line: [by(75, -50), by(205, -173), RING[15]!], through: true },
  { name: 'Rope Lane', highway: 'residential', maxspeedKmh: 30, line: [by(-75, -50), by(-205, -173), RING[9]!], through: true },
  { name: 'Old Bridge', highway: 'tertiary', maxspeedKmh: 30, bridge: true, line: OLD_BRIDGE, through: true },
  { name: 'Mill Bridge', highway: 'secondary', maxspeedKmh: 50, bridge: true, line: MILL_BRIDGE, through: true },
  { name: 'North Road', highway: 'secondary', maxspeedKmh: 50, line: curve([NORTH_GATE, [2930, 3300], [3060, 3640], [3010, 4000]], 5), through: true },
  { name: 'West Road', highway: 'secondary', maxspeedKmh: 50, line: curve([WEST_GATE, [1900, 2640], [1250, 2960], [600, 3120], [0, 3180]], 5), through: true },
  { name: 'East Road', highway: 'secondary', maxspeedKmh: 50, line: curve([EAST_GATE, [4000, 2640], [4600, 2720], [5300, 2620], [6000, 2480]], 5), through: true },
  { name: 'Mill Road', highway: 'secondary', maxspeedKmh: 50, line: curve([[4600, 2720], [4580, 2520], MILL_BRIDGE[0]!], 4), through: true },
  { name: 'South Road', highway: 'secondary', maxspeedKmh: 50, line: curve([OLD_BRIDGE[1]!, [2960, 1380], [2860, 900], [2900, 420], [2850, 0]], 5), through: true },
  { name: 'Estate Road', highway: 'secondary', maxspeedKmh: 50, line: curve([MILL_BRIDGE[1]!, [4500, 1700], [4560, 1250], [4480, 700], [4520, 200]], 5), through: true },
  { name: 'Southern Way', highway: 'secondary', maxspeedKmh: 50, line: curve([[600, 1250], [1400, 1080], [2300, 1180], [2940, 1240], [3700, 1160], [4560, 1250], [5500, 1120]], 6), through: true },
  { name: 'Quay Street', highway: 'tertiary', maxspeedKmh: 30, line: curve([[1990, 2650], [2120, 2300], [2330, 2030], [2620, 1935], [2950, 1900], [3350, 1985], [3720, 2170], [3960, 2420], [4010, 2660]], 5), through: true },
  { name: 'Northern Way', highway: 'tertiary', maxspeedKmh: 50, line: curve([[620, 3100], [1150, 3460], [1850, 3560], [2450, 3420], [3050, 3560], [3650, 3430], [4300, 3560], [5050, 3300], [5400, 2590]], 6), through: true },
  { name: 'Osier Road', highway: 'tertiary', maxspeedKmh: 50, line: curve([[640, 1250], [560, 1750], [900, 2150], [1500, 1830], [2150, 1480], [2700, 1560], [2960, 1480]], 6), through: true },
];

type Quarter = {
  readonly districts: readonly string[];
  readonly along: Point;
  readonly spacingM: number;
  readonly crossSpacingM: number;
  readonly bendM: number;
  readonly box: readonly [number, number, number, number];
  readonly highway: 'residential' | 'unclassified';
  readonly names: readonly string[];
};

/** Two families of streets a quarter, gently bent, cut where the quarter, the river or the map ends. */
const QUARTERS: readonly Quarter[] = [
  { districts: ['Kilnhill'], along: [0.99, 0.12], spacingM: 190, crossSpacingM: 300, bendM: 45, box: [2230, 3080, 3680, 3800], highway: 'residential',
    names: ['Juniper Street', 'Rowan Street', 'Hornbeam Street', 'Alder Street', 'Medlar Street', 'Quince Street', 'Hawthorn Rise', 'Larch Rise', 'Hazel Rise', 'Spindle Rise', 'Bramble Rise', 'Sorrel Rise'] },
  { districts: ['Westgardens'], along: [0.94, -0.34], spacingM: 210, crossSpacingM: 290, bendM: 60, box: [620, 2560, 2160, 3620], highway: 'residential',
    names: ['Heron Street', 'Plover Street', 'Wagtail Street', 'Lapwing Street', 'Siskin Street', 'Dunnock Street', 'Redstart Street', 'Curlew Walk', 'Linnet Walk', 'Swift Walk', 'Martin Walk', 'Wren Walk', 'Dipper Walk', 'Finch Walk', 'Pipit Walk'] },
  { districts: ['Eastmead'], along: [0.98, 0.18], spacingM: 200, crossSpacingM: 300, bendM: 50, box: [3780, 2350, 5450, 3600], highway: 'residential',
    names: ['Tanner Street', 'Glover Street', 'Sawyer Street', 'Turner Street', 'Fletcher Street', 'Chandler Street', 'Thatcher Street', 'Cutler Row', 'Draper Row', 'Farrier Row', 'Potter Row', 'Wheeler Row', 'Carver Row', 'Binder Row', 'Dyer Row'] },
  { districts: ['Fullers Green'], along: [0.97, -0.22], spacingM: 220, crossSpacingM: 310, bendM: 55, box: [620, 620, 2300, 2150], highway: 'residential',
    names: ['Fennel Street', 'Lovage Street', 'Tansy Street', 'Yarrow Street', 'Savory Street', 'Borage Street', 'Chervil Street', 'Dill Street', 'Mallow Lane', 'Comfrey Lane', 'Teasel Lane', 'Sage Lane', 'Thyme Lane', 'Rue Lane', 'Clary Lane', 'Bay Lane'] },
  { districts: ['Overwater'], along: [1, 0.04], spacingM: 200, crossSpacingM: 270, bendM: 40, box: [2400, 420, 3900, 1640], highway: 'residential',
    names: ['Lantern Street', 'Anchor Street', 'Pulley Street', 'Tiller Street', 'Rudder Street', 'Capstan Street', 'Mast Street', 'Oar Street', 'Ferry Lane', 'Barge Lane', 'Punt Lane', 'Raft Lane', 'Buoy Lane', 'Keel Lane'] },
  { districts: ['Ellow Estate'], along: [0.99, -0.08], spacingM: 330, crossSpacingM: 430, bendM: 20, box: [4050, 330, 5600, 1900], highway: 'unclassified',
    names: ['Foundry Way', 'Press Way', 'Lathe Way', 'Boiler Way', 'Gauge Way', 'Piston Drive', 'Spindle Drive', 'Anvil Drive', 'Bellows Drive', 'Crucible Drive'] },
];

function quarterStreets(quarter: Quarter): Street[] {
  const [x0, y0, x1, y1] = quarter.box;
  const middle: Point = [(x0 + x1) / 2, (y0 + y1) / 2];
  const [ux, uy] = quarter.along;
  const reach = x1 - x0 + (y1 - y0);
  const allowed = (p: Point): boolean =>
    p[0] >= x0 && p[0] <= x1 && p[1] >= y0 && p[1] <= y1 && toLine(p, RIVER) > BANK_M &&
    quarter.districts.some((name) => isInside(p, DISTRICTS.find((d) => d.name === name)!.ring));
  const streets: Street[] = [];
  const names = [...quarter.names];
  for (const [dir, spacing] of [[[ux, uy], quarter.spacingM], [[-uy, ux], quarter.crossSpacingM]] as const) {
    const across: Point = [-dir[1], dir[0]];
    const half = Math.ceil(reach / 2 / spacing);
    for (let k = -half; k <= half; k++) {
      let run: Point[] = [];
      const flush = () => {
        if (run.length >= 7 && names.length > 0)
          streets.push({ name: names.shift()!, highway: quarter.highway, maxspeedKmh: quarter.highway === 'residential' ? 30 : 40, line: run });
        run = [];
      };
      for (let s = -reach / 2; s <= reach / 2; s += 40) {
        const bend = quarter.bendM * Math.sin((s + 170 * k) / 420);
        const p: Point = [middle[0] + dir[0] * s + across[0] * (k * spacing + bend), middle[1] + dir[1] * s + across[1] * (k * spacing + bend)];
        if (allowed(p)) run.push(p);
        else flush();
      }
      flush();
    }
  }
  return streets;
}

export type Node = { readonly id: number; readonly at: Point };
export type Way = Street & { readonly nodes: readonly number[] };
export type RoadNet = { readonly nodes: readonly Node[]; readonly ways: readonly Way[] };

/** Streets cut at one another, loose ends trimmed, and only what hangs together kept. */
export function buildRoads(): RoadNet {
  const streets = [...MAIN_STREETS, ...QUARTERS.flatMap(quarterStreets)];
  const cuts = streets.map((street) => street.line.slice(1).map((): number[] => []));
  for (let a = 0; a < streets.length; a++)
    for (let b = a + 1; b < streets.length; b++)
      for (let i = 1; i < streets[a]!.line.length; i++)
        for (let j = 1; j < streets[b]!.line.length; j++) {
          const met = meeting(streets[a]!.line[i - 1]!, streets[a]!.line[i]!, streets[b]!.line[j - 1]!, streets[b]!.line[j]!);
          if (!met) continue;
          cuts[a]![i - 1]!.push(met[0]);
          cuts[b]![j - 1]!.push(met[1]);
        }
  const nodes: Node[] = [];
  const nodeAt = (p: Point): number => {
    const near = nodes.find((n) => apart(n.at, p) < 14);
    if (near) return near.id;
    nodes.push({ id: nodes.length + 1, at: p });
    return nodes.length;
  };
  const ways: Way[] = [];
  streets.forEach((street, a) => {
    // Pieces between crossings; a shape point is a crossing only where somebody met it.
    const pieces: Point[][] = [[street.line[0]!]];
    for (let i = 1; i < street.line.length; i++) {
      for (const t of [...cuts[a]![i - 1]!].sort((p, q) => p - q)) {
        const p = mix(street.line[i - 1]!, street.line[i]!, t);
        if (apart(pieces.at(-1)!.at(-1)!, p) > 0.5) pieces.at(-1)!.push(p);
        pieces.push([p]);
      }
      if (apart(pieces.at(-1)!.at(-1)!, street.line[i]!) > 0.5) pieces.at(-1)!.push(street.line[i]!);
    }
    let kept = pieces.filter((piece) => piece.length > 1);
    if (!street.through) {
      const long = (piece: Point[]) => piece.slice(1).reduce((sum, p, i) => sum + apart(piece[i]!, p), 0);
      if (kept.length > 1 && long(kept[0]!) < 170) kept = kept.slice(1);
      if (kept.length > 1 && long(kept.at(-1)!) < 170) kept = kept.slice(0, -1);
    }
    const line = kept.flatMap((piece, i) => simplify(piece, 5).slice(i === 0 ? 0 : 1));
    const ids = line.map(nodeAt).filter((id, i, all) => id !== all[i - 1]);
    if (ids.length > 1) ways.push({ ...street, nodes: ids });
  });
  return largestPart({ nodes, ways });
}

function largestPart({ nodes, ways }: RoadNet): RoadNet {
  const part = new Map<number, number>(nodes.map((n) => [n.id, n.id]));
  const root = (id: number): number => {
    let at = id;
    while (part.get(at) !== at) at = part.get(at)!;
    return at;
  };
  for (const way of ways) for (const id of way.nodes) part.set(root(id), root(way.nodes[0]!));
  const sizes = new Map<number, number>();
  for (const n of nodes) sizes.set(root(n.id), (sizes.get(root(n.id)) ?? 0) + 1);
  const [main] = [...sizes].sort((a, b) => b[1] - a[1])[0]!;
  const left = ways.filter((way) => root(way.nodes[0]!) === main);
  const used = [...new Set(left.flatMap((way) => way.nodes))];
  const renumbered = new Map(used.map((id, i) => [id, i + 1]));
  return {
    nodes: used.map((id) => ({ id: renumbered.get(id)!, at: nodes[id - 1]!.at })),
    ways: left.map((way) => ({ ...way, nodes: way.nodes.map((id) => renumbered.get(id)!) })),
  };
}

/** What a map writes names on. */
export const PLACES: readonly { readonly name: string; readonly kind: string; readonly at: Point }[] = [
  ...DISTRICTS.map(({ name, labelAt }) => ({ name, kind: 'district', at: labelAt })),
  { name: 'Old Bridge', kind: 'bridge', at: mix(OLD_BRIDGE[0]!, OLD_BRIDGE[1]!, 0.5) },
  { name: 'Mill Bridge', kind: 'bridge', at: mix(MILL_BRIDGE[0]!, MILL_BRIDGE[1]!, 0.5) },
  { name: 'Market Square', kind: 'square', at: SQUARE },
  { name: 'Osier Meadow', kind: 'green', at: [760, 2230] },
  { name: 'Ellow', kind: 'river', at: RIVER[20]! },
];
