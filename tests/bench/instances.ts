/**
 * Readers of published instances: CVRPLIB and TSPLIB (.vrp, .tsp), Solomon and Homberger (.txt), Tsiligirides and
 * OPLib (.oplib). Distances follow each set's own convention (bench/README.md); what the kernel gets are whole numbers, `scale` of
 * them to one unit of the published value.
 */
import type { RoutingInput, VehicleInput, VisitInput } from '../../src/core/routing/problem.ts';

export type Instance = {
  readonly name: string;
  readonly input: RoutingInput;
  /** Whole units of the kernel in one unit of the published value. */
  readonly scale: number;
  /** How distances were made whole, in words. */
  readonly rounding: string;
  /** For prize-collecting sets: sum of all prizes, so that the collected score is this minus the cost. */
  readonly totalPrize?: number;
  /** What a vehicle costs, in the kernel's units, where fewest vehicles come first. */
  readonly perVehicle?: number;
};

export type Rounding = 'nearest' | 'truncated-tenth' | 'thousandth';

const NO_LIMIT = 2 ** 27;

/** A vehicle that only its capacity limits. */
export const plainVehicle = (capacityA: number): VehicleInput => ({
  startPlace: 0,
  endPlace: 0,
  shiftStartS: 0,
  shiftEndS: NO_LIMIT,
  maxOvertimeS: 0,
  costPerOvertimeS: 0,
  capacityA,
  capacityB: 0,
  costPerM: 1,
  costPerS: 0,
  fixedCost: 0,
});

export const plainVisit = (place: number, loadA: number): VisitInput => ({
  place,
  loadA,
  loadB: 0,
  serviceS: 0,
  windows: [],
  mandatory: true,
  prize: 0,
  barredVehicles: [],
});

/** A capacitated problem on a square matrix whose place 0 is the depot; `vehicles` defaults to one per visit. */
export function capacitated(
  legM: Int32Array,
  demands: readonly number[],
  capacity: number,
  vehicles = demands.length,
): RoutingInput {
  const places = demands.length + 1;
  return {
    travel: { places, legM, legS: new Int32Array(places * places) },
    visits: demands.map((demand, v) => plainVisit(v + 1, demand)),
    vehicles: Array.from({ length: vehicles }, () => plainVehicle(capacity)),
  };
}

export type Points = readonly (readonly [x: number, y: number])[];

export function planeM(points: Points, rounding: Rounding): Int32Array {
  return matrix(points, (a, b) => {
    const d = Math.hypot(a[0] - b[0], a[1] - b[1]);
    if (rounding === 'nearest') return Math.floor(d + 0.5);
    return rounding === 'truncated-tenth' ? Math.floor(d * 10 + 1e-9) : Math.round(d * 1000);
  });
}

/**
 * TSPLIB95 manual, section 2.4 (GEO): coordinates are DDD.MM, and although the manual prints nint, the published optima
 * need the degrees truncated.
 */
export function geoM(points: Points): Int32Array {
  const radians = (x: number): number => {
    const degrees = Math.trunc(x);
    return (3.141592 * (degrees + (5 * (x - degrees)) / 3)) / 180;
  };
  return matrix(points, (a, b) => {
    const q1 = Math.cos(radians(a[1]) - radians(b[1]));
    const q2 = Math.cos(radians(a[0]) - radians(b[0]));
    const q3 = Math.cos(radians(a[0]) + radians(b[0]));
    return Math.trunc(6378.388 * Math.acos(0.5 * ((1 + q1) * q2 - (1 - q1) * q3)) + 1);
  });
}

function attM(points: Points): Int32Array {
  return matrix(points, (a, b) => {
    const r = Math.sqrt(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) / 10);
    const t = Math.round(r);
    return t < r ? t + 1 : t;
  });
}

export function matrix(
  points: Points,
  distance: (a: Points[number], b: Points[number]) => number,
): Int32Array {
  const n = points.length;
  const legs = new Int32Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) if (i !== j) legs[i * n + j] = distance(points[i]!, points[j]!);
  return legs;
}

type Section = Map<string, string[]>;

/** TSPLIB-like text: `KEY : value` lines and sections of lines. */
function sectionsOf(text: string): { keys: Map<string, string>; sections: Section } {
  const keys = new Map<string, string>();
  const sections: Section = new Map();
  let open: string[] | undefined;
  for (const raw of text.split('\n')) {
    const line = raw.trim();
    if (line === '' || line === 'EOF') continue;
    const key = /^([A-Z_]+)\s*:\s*(.*)$/.exec(line);
    if (key) {
      keys.set(key[1]!, key[2]!.trim());
      open = undefined;
    } else if (/^[A-Z_]+$/.test(line)) {
      open = [];
      sections.set(line, open);
    } else open?.push(line);
  }
  return { keys, sections };
}

const numbers = (lines: readonly string[] = []): number[] =>
  lines
    .join(' ')
    .split(/\s+/)
    .filter((word) => word !== '')
    .map(Number);

/** The matrix a TSPLIB file describes, and its points if it has some. */
function legsOf(
  keys: Map<string, string>,
  sections: Section,
  rounding: Rounding,
): { legs: Int32Array; n: number } {
  const n = Number(keys.get('DIMENSION'));
  const type = keys.get('EDGE_WEIGHT_TYPE');
  if (type === 'EXPLICIT')
    return {
      legs: explicit(n, keys.get('EDGE_WEIGHT_FORMAT')!, numbers(sections.get('EDGE_WEIGHT_SECTION'))),
      n,
    };
  const cells = numbers(sections.get('NODE_COORD_SECTION'));
  const points = Array.from({ length: n }, (_, i): [number, number] => [
    cells[3 * i + 1]!,
    cells[3 * i + 2]!,
  ]);
  if (type === 'GEO') return { legs: geoM(points), n };
  if (type === 'ATT') return { legs: attM(points), n };
  if (type === 'CEIL_2D')
    return { legs: matrix(points, (a, b) => Math.ceil(Math.hypot(a[0] - b[0], a[1] - b[1]))), n };
  if (type !== 'EUC_2D') throw new Error(`EDGE_WEIGHT_TYPE ${type} is not one this reader knows`);
  return { legs: planeM(points, rounding), n };
}

/** Rows of a matrix as TSPLIB's formats list them. */
export function explicit(n: number, format: string, cells: readonly number[]): Int32Array {
  const legs = new Int32Array(n * n);
  let at = 0;
  const put = (i: number, j: number): void => {
    const leg = cells[at++];
    if (leg === undefined) throw new Error(`${format} of ${n} nodes ends after ${cells.length} numbers`);
    legs[i * n + j] = leg;
    if (format !== 'FULL_MATRIX') legs[j * n + i] = leg;
  };
  for (let i = 0; i < n; i++) {
    if (format === 'FULL_MATRIX') for (let j = 0; j < n; j++) put(i, j);
    else if (format === 'LOWER_ROW') for (let j = 0; j < i; j++) put(i, j);
    else if (format === 'LOWER_DIAG_ROW') for (let j = 0; j <= i; j++) put(i, j);
    else if (format === 'UPPER_ROW') for (let j = i + 1; j < n; j++) put(i, j);
    else if (format === 'UPPER_DIAG_ROW') for (let j = i; j < n; j++) put(i, j);
    else throw new Error(`EDGE_WEIGHT_FORMAT ${format} is not one this reader knows`);
  }
  for (let i = 0; i < n; i++) legs[i * n + i] = 0;
  return legs;
}

/** CVRPLIB; classic sets with real distances come as thousandths, with their limit on duration. */
export function readVrp(text: string, name: string, rounding: Rounding): Instance {
  const { keys, sections } = sectionsOf(text);
  const { legs, n } = legsOf(keys, sections, rounding);
  const scale = rounding === 'thousandth' ? 1000 : 1;
  const cells = numbers(sections.get('DEMAND_SECTION'));
  const demands = Array.from({ length: n - 1 }, (_, i) => cells[2 * (i + 1) + 1]!);
  const input = capacitated(legs, demands, Number(keys.get('CAPACITY')));
  const limit = keys.get('DISTANCE');
  const words = {
    nearest: 'nearest whole',
    thousandth: 'nearest thousandth',
    'truncated-tenth': 'cut at a tenth',
  };
  const limited: RoutingInput = {
    travel: { ...input.travel, legS: legs },
    visits: input.visits.map((v) => ({ ...v, serviceS: Number(keys.get('SERVICE_TIME') ?? 0) * scale })),
    vehicles: input.vehicles.map((v) => ({ ...v, shiftEndS: Math.floor(Number(limit) * scale) })),
  };
  return { name, input: limit ? limited : input, scale, rounding: words[rounding] };
}

/** A tour is one vehicle that starts at the first node. */
export function readTsp(text: string, name: string): Instance {
  const { keys, sections } = sectionsOf(text);
  const { legs, n } = legsOf(keys, sections, 'nearest');
  const demands = Array.from({ length: n - 1 }, () => 0);
  return { name, input: capacitated(legs, demands, 0, 1), scale: 1, rounding: 'TSPLIB95' };
}

/** Solomon's and Homberger's text: distance is time. `perVehicle` makes fewest vehicles come first. */
export function readSolomon(text: string, name: string, rounding: Rounding, perVehicle = 0): Instance {
  const lines = text.split('\n').map((line) => line.trim());
  const [vehicles, capacity] =
    lines[lines.findIndex((line) => /^NUMBER/.test(line)) + 1]!.split(/\s+/).map(Number);
  const rows = lines.map((line) => line.split(/\s+/).map(Number)).filter((row) => row.length === 7);
  return {
    ...windowed(rows, capacity!, vehicles!, rounding, perVehicle),
    name,
  };
}

/** Rows of id, x, y, demand, ready, due, service; the first is the depot. */
export function windowed(
  rows: readonly (readonly number[])[],
  capacity: number,
  vehicles: number,
  rounding: Rounding,
  perVehicle = 0,
): Omit<Instance, 'name'> {
  const scale = rounding === 'truncated-tenth' ? 10 : 1000;
  const legs = planeM(
    rows.map((row): [number, number] => [row[1]!, row[2]!]),
    rounding,
  );
  const endS = rows[0]![5]! * scale;
  return {
    scale,
    rounding: rounding === 'truncated-tenth' ? 'cut at a tenth' : 'nearest thousandth',
    input: {
      travel: { places: rows.length, legM: legs, legS: legs },
      visits: rows.slice(1).map((row, v) => ({
        ...plainVisit(v + 1, row[3]!),
        serviceS: row[6]! * scale,
        windows: [{ fromS: row[4]! * scale, untilS: row[5]! * scale }],
      })),
      vehicles: Array.from({ length: vehicles }, () => ({
        ...plainVehicle(capacity),
        shiftEndS: endS,
        fixedCost: perVehicle,
      })),
    },
  };
}

/** Tsiligirides: budget and paths, then x, y, score; first is the start, second the end. */
export function readTsiligirides(text: string, name: string): Instance {
  const [head, ...rows] = text
    .trim()
    .split('\n')
    .map((line) => line.trim().split(/\s+/).map(Number));
  const [budget, paths] = head!;
  const points = rows.map((row): [number, number] => [row[0]!, row[1]!]);
  const scale = 1000;
  const scores = rows.map((row) => row[2]!);
  return scored(name, planeM(points, 'thousandth'), scores, budget! * scale, paths!, 0, 1);
}

/** OPLib: TSPLIB text with a score per node and a limit on the tour's length. */
export function readOplib(text: string, name: string): Instance {
  const { keys, sections } = sectionsOf(text);
  const { legs, n } = legsOf(keys, sections, 'nearest');
  const cells = numbers(sections.get('NODE_SCORE_SECTION'));
  const scores = Array.from({ length: n }, (_, i) => cells[2 * i + 1]!);
  return scored(name, legs, scores, Number(keys.get('COST_LIMIT')), 1, 0, 0);
}

/** Prizes weigh this much, so that a whole tour costs less than the smallest of them. */
const PER_SCORE = 1e6;

/** Prize-collecting: what is left out costs its score; among equals the shortest, which makes room for more. */
function scored(
  name: string,
  legs: Int32Array,
  scores: readonly number[],
  limit: number,
  paths: number,
  start: number,
  end: number,
): Instance {
  const places = scores.length;
  const visits = scores.flatMap((score, place) =>
    place === start || place === end
      ? []
      : [{ ...plainVisit(place, 0), mandatory: false, prize: score * PER_SCORE }],
  );
  return {
    name,
    scale: PER_SCORE,
    rounding: 'limit on length',
    // The ends are always visited, and the published values count what they score.
    totalPrize: PER_SCORE * scores.reduce((sum, score) => sum + score, 0),
    input: {
      travel: { places, legM: legs, legS: legs },
      visits,
      vehicles: Array.from({ length: paths }, () => ({
        ...plainVehicle(0),
        startPlace: start,
        endPlace: end,
        shiftEndS: limit,
      })),
    },
  };
}
