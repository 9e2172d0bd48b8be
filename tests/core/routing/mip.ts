/**
 * The optimum of a small problem of alike vehicles as a mixed-integer programme, solved by HiGHS: arcs, loads and start
 * times (Miller, Tucker & Zemlin 1960, Journal of the ACM 7(4), extended to loads and times).
 */
import loadHighs from 'highs';
import type { RoutingInput } from '../../../src/core/routing/problem.ts';

export async function optimumByMip({ travel, visits, vehicles }: RoutingInput): Promise<number> {
  const vehicle = vehicles[0]!;
  const n = visits.length;
  const nodes = Array.from({ length: n + 1 }, (_, i) => i); // n is the depot
  const placeOf = (i: number): number => (i < n ? visits[i]!.place : vehicle.startPlace);
  const leg = (i: number, j: number): number => placeOf(i) * travel.places + placeOf(j);
  const arcs = nodes.flatMap((i) => nodes.filter((j) => j !== i).map((j) => [i, j] as const));
  const x = (i: number, j: number): string => `x_${i}_${j}`;
  const sum = (terms: readonly string[]): string => terms.join(' + ');
  const cost = ([i, j]: readonly [number, number]): number =>
    vehicle.costPerM * travel.legM[leg(i, j)]! + (i === n ? vehicle.fixedCost : 0);

  const rows: string[] = [];
  for (let v = 0; v < n; v++) {
    const others = nodes.filter((u) => u !== v);
    rows.push(`${sum(others.map((u) => x(u, v)))} = 1`, `${sum(others.map((u) => x(v, u)))} = 1`);
  }
  rows.push(`${sum(visits.map((_, v) => x(n, v)))} <= ${vehicles.length}`);
  const endS = vehicle.shiftEndS;
  for (const [i, j] of arcs) {
    if (i < n && j < n) {
      for (const [name, capacity, load] of [
        ['a', vehicle.capacityA, visits[j]!.loadA],
        ['b', vehicle.capacityB, visits[j]!.loadB],
      ] as const)
        rows.push(`${name}_${j} - ${name}_${i} - ${capacity} ${x(i, j)} >= ${load - capacity}`);
      const stepS = visits[i]!.serviceS + travel.legS[leg(i, j)]!;
      rows.push(`t_${j} - t_${i} - ${endS + stepS} ${x(i, j)} >= ${-endS}`);
    } else if (i === n) rows.push(`t_${j} - ${travel.legS[leg(i, j)]} ${x(i, j)} >= 0`);
    else
      rows.push(`t_${i} + ${endS} ${x(i, j)} <= ${2 * endS - visits[i]!.serviceS - travel.legS[leg(i, j)]!}`);
  }
  const bounds = visits.flatMap((visit, v) => [
    `${visit.loadA} <= a_${v} <= ${vehicle.capacityA}`,
    `${visit.loadB} <= b_${v} <= ${vehicle.capacityB}`,
    `${visit.windows[0]?.fromS ?? 0} <= t_${v} <= ${visit.windows[0]?.untilS ?? endS}`,
  ]);
  // The package's types describe its module as ECMAScript would see it; what is imported is the function itself.
  const highs = await (loadHighs as unknown as typeof loadHighs.default)();
  const answer = highs.solve(
    `Minimize\n ${sum(arcs.map((arc) => `${cost(arc)} ${x(...arc)}`))}\nSubject To\n${rows
      .map((row, k) => ` r${k}: ${row}`)
      .join(
        '\n',
      )}\nBounds\n ${bounds.join('\n ')}\nBinary\n ${arcs.map((arc) => x(...arc)).join(' ')}\nEnd\n`,
    { mip_rel_gap: 0 },
  );
  if (answer.Status !== 'Optimal') throw new Error(`HiGHS says ${answer.Status}`);
  return Math.round(answer.ObjectiveValue);
}
