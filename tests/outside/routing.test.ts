/**
 * The routing kernel against published instances. Each solution also goes through the independent checker, so a
 * cost is only believed when every load, window and time was recomputed from the raw data.
 */
import { describe, expect, test } from 'vitest';
import { checkSolution } from '../../src/core/routing/check.ts';
import { buildRoutingProblem, type RoutingInput } from '../../src/core/routing/problem.ts';
import { savingsRoutes } from '../../src/core/routing/savings.ts';
import { solveRouting } from '../../src/core/routing/search.ts';
import { capacitated, explicit, geoM, type Points, planeM, windowed } from '../bench/instances.ts';

function solve(input: RoutingInput, iterations = 4000, seed = 1): { cost: number; rounds: number } {
  const { solution } = solveRouting(input, { seed, iterations });
  const report = checkSolution(input, {
    rounds: solution.rounds,
    leftOut: solution.leftOut.map(({ visit }) => visit),
  });
  expect(report.faults).toEqual([]);
  expect(report.unservedMandatory).toEqual([]);
  expect(report.cost).toBe(solution.cost);
  return { cost: solution.cost, rounds: solution.rounds.length };
}

const tour = (legs: Int32Array, nodes: number): RoutingInput =>
  capacitated(legs, new Array(nodes - 1).fill(0), 0, 1);

const savingsCost = (input: RoutingInput): number => {
  const problem = buildRoutingProblem(input);
  const { places, legM } = input.travel;
  return savingsRoutes(problem).reduce((sum, route) => {
    const stops = [0, ...route.map((visit) => visit + 1), 0];
    return sum + stops.slice(1).reduce((leg, to, i) => leg + legM[stops[i]! * places + to]!, 0);
  }, 0);
};

describe('tours (Reinelt 1991, TSPLIB; optima from the TSPLIB tables)', () => {
  const BURMA14: Points = [
    [16.47, 96.1],
    [16.47, 94.44],
    [20.09, 92.54],
    [22.39, 93.37],
    [25.23, 97.24],
    [22.0, 96.05],
    [20.47, 97.02],
    [17.2, 96.29],
    [16.3, 97.38],
    [14.05, 98.12],
    [16.53, 97.38],
    [21.52, 95.59],
    [19.41, 97.13],
    [20.09, 94.55],
  ];
  const ULYSSES16: Points = [
    [38.24, 20.42],
    [39.57, 26.15],
    [40.56, 25.32],
    [36.26, 23.12],
    [33.48, 10.54],
    [37.56, 12.19],
    [38.42, 13.11],
    [37.52, 20.44],
    [41.23, 9.1],
    [41.17, 13.05],
    [36.08, -5.21],
    [38.47, 15.13],
    [38.15, 15.35],
    [37.51, 15.17],
    [35.49, 14.32],
    [39.36, 19.56],
  ];

  test('burma14 is 3323', () => {
    expect(solve(tour(geoM(BURMA14), 14)).cost).toBe(3323);
  });

  test('ulysses16 is 6859', () => {
    expect(solve(tour(geoM(ULYSSES16), 16)).cost).toBe(6859);
  });

  test('the GEO distances of burma14 from node 1 are those of the published file', () => {
    // Computed from the manual's formula with truncated degrees; the tour 1..14 in file order then has 4562.
    const legs = geoM(BURMA14);
    expect(Array.from(legs.subarray(1, 14))).toEqual([
      153, 510, 706, 966, 581, 455, 70, 160, 372, 157, 567, 342, 398,
    ]);
    let inOrder = 0;
    for (let i = 0; i < 14; i++) inOrder += legs[i * 14 + ((i + 1) % 14)]!;
    expect(inOrder).toBe(4562);
  });

  test('gr17 is 2085 (optimum from memory, and computed by an exact dynamic programme)', () => {
    const rows =
      '0 633 0 257 390 0 91 661 228 0 412 227 169 383 0 150 488 112 120 267 0 80 572 196 77 351 63 0 134 530 154 105 309 34 29 0 259 555 372 175 338 264 232 249 0 505 289 262 476 196 360 444 402 495 0 353 282 110 324 61 208 292 250 352 154 0 324 638 437 240 421 329 297 314 95 578 435 0 70 567 191 27 346 83 47 68 189 439 287 254 0 211 466 74 182 243 105 150 108 326 336 184 391 145 0 268 420 53 239 199 123 207 165 383 240 140 448 202 57 0 246 745 472 237 528 364 332 349 202 685 542 157 289 426 483 0 121 518 142 84 297 35 29 36 236 390 238 301 55 96 153 336 0';
    expect(solve(tour(explicit(17, 'LOWER_DIAG_ROW', rows.split(' ').map(Number)), 17)).cost).toBe(2085);
  });
});

describe('capacitated rounds', () => {
  // Dantzig & Ramser (1959), "The truck dispatching problem", Management Science 6(1): demands and distances.
  const DANTZIG = [
    '9 14 21 23 22 25 32 36 38 42 50 52',
    '5 12 22 21 24 31 35 37 41 49 51',
    '7 17 16 23 26 30 36 36 44 46',
    '10 21 30 27 37 43 31 37 39',
    '19 28 25 35 41 29 31 29',
    '9 10 16 22 20 28 30',
    '7 11 13 17 25 27',
    '10 16 10 18 20',
    '6 6 14 16',
    '12 12 20',
    '8 10',
    '10',
  ]
    .join(' ')
    .split(' ')
    .map(Number);
  const DEMANDS = [1200, 1700, 1500, 1400, 1700, 1400, 1200, 1900, 1800, 1600, 1700, 1100];

  test('the twelve customers of Dantzig & Ramser need 290 (TSPLIB eil13, "Best value: 290")', () => {
    const input = capacitated(explicit(13, 'UPPER_ROW', DANTZIG), DEMANDS, 6000);
    expect(solve(input)).toEqual({ cost: 290, rounds: 4 });
  });

  test('the same numbers read as the file’s own tag says are E-n13-k4, 247 (CVRPLIB)', () => {
    const input = capacitated(explicit(13, 'LOWER_ROW', DANTZIG), DEMANDS, 6000);
    expect(solve(input)).toEqual({ cost: 247, rounds: 4 });
  });

  test('parallel savings alone find 290 there (Clarke & Wright 1964; their reporting it: from memory)', () => {
    expect(savingsCost(capacitated(explicit(13, 'UPPER_ROW', DANTZIG), DEMANDS, 6000))).toBe(290);
  });

  // TSPLIB eil7, "Best value: 114".
  const SIX = [10, 20, 25, 25, 20, 10, 12, 20, 25, 30, 20, 10, 11, 22, 30, 2, 11, 25, 10, 20, 12];
  const six = capacitated(explicit(7, 'UPPER_ROW', SIX), [1, 1, 1, 1, 1, 1], 3);

  test('six customers: savings stop at 119 (computed by hand), the search reaches 114 (TSPLIB eil7)', () => {
    expect(savingsCost(six)).toBe(119);
    expect(solve(six)).toEqual({ cost: 114, rounds: 2 });
  });

  // Augerat et al. (1995), set P, CVRPLIB: x, y, demand; the depot first.
  const P_N16_K8 = [
    [30, 40, 0],
    [37, 52, 19],
    [49, 49, 30],
    [52, 64, 16],
    [31, 62, 23],
    [52, 33, 11],
    [42, 41, 31],
    [52, 41, 15],
    [57, 58, 28],
    [62, 42, 8],
    [42, 57, 8],
    [27, 68, 7],
    [43, 67, 14],
    [58, 48, 6],
    [58, 27, 19],
    [37, 69, 11],
  ] as const;
  // Christofides & Eilon (1969), TSPLIB eil22; the 585 in that file is another objective.
  const E_N22_K4 = [
    [145, 215, 0],
    [151, 264, 1100],
    [159, 261, 700],
    [130, 254, 800],
    [128, 252, 1400],
    [163, 247, 2100],
    [146, 246, 400],
    [161, 242, 800],
    [142, 239, 100],
    [163, 236, 500],
    [148, 232, 600],
    [128, 231, 1200],
    [156, 217, 1300],
    [129, 214, 1300],
    [146, 208, 300],
    [164, 208, 900],
    [141, 206, 2100],
    [147, 193, 1000],
    [164, 193, 900],
    [129, 189, 2500],
    [155, 185, 1800],
    [139, 182, 700],
  ] as const;
  const inPlane = (rows: readonly (readonly [number, number, number])[], capacity: number): RoutingInput =>
    capacitated(
      planeM(
        rows.map(([x, y]): [number, number] => [x, y]),
        'nearest',
      ),
      rows.slice(1).map(([, , demand]) => demand),
      capacity,
    );

  test('P-n16-k8 is 450 (Augerat et al. 1995; CVRPLIB)', () => {
    expect(solve(inPlane(P_N16_K8, 35)).cost).toBe(450);
  });

  test('E-n22-k4 is 375 (Christofides & Eilon 1969; CVRPLIB)', () => {
    expect(solve(inPlane(E_N22_K4, 6000))).toEqual({ cost: 375, rounds: 4 });
  });
});

test('C101, the first 25 customers, is 191.3 with distances cut at a tenth (Solomon 1987; value from memory, routes recomputed)', () => {
  const rows =
    '0 40 50 0 0 1236 0;1 45 68 10 912 967 90;2 45 70 30 825 870 90;3 42 66 10 65 146 90;4 42 68 10 727 782 90;5 42 65 10 15 67 90;6 40 69 20 621 702 90;7 40 66 20 170 225 90;8 38 68 20 255 324 90;9 38 70 10 534 605 90;10 35 66 10 357 410 90;11 35 69 10 448 505 90;12 25 85 20 652 721 90;13 22 75 30 30 92 90;14 22 85 10 567 620 90;15 20 80 40 384 429 90;16 20 85 40 475 528 90;17 18 75 20 99 148 90;18 15 75 20 179 254 90;19 15 80 10 278 345 90;20 30 50 10 10 73 90;21 30 52 20 914 965 90;22 28 52 20 812 883 90;23 28 55 10 732 777 90;24 25 50 10 65 144 90;25 25 52 40 169 224 90'
      .split(';')
      .map((row) => row.split(' ').map(Number));
  const { input, scale } = windowed(rows, 200, 25, 'truncated-tenth');
  const { cost, rounds } = solve(input, 3000);
  expect(cost / scale).toBe(191.3);
  expect(rounds).toBe(3);
});
