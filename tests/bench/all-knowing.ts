/**
 * Planners that know what nobody can: how full every site is this morning (`levels`), or also all that will come within the
 * horizon (`future`). What they reach with the same search tells what better knowledge would be worth.
 */
import type { PlanningProblem, Prices } from '../../src/core/planning/problem.ts';
import { quantum } from '../../src/core/planning/quanta.ts';
import type { SiteTable } from '../../src/core/planning/tables.ts';
import { layOutWeek, type WeekBase } from '../../src/core/planning/week.ts';
import type { World } from '../../src/core/simulation/world.ts';
import type { WorldSite } from '../../src/core/simulation/world-site.ts';
import type { Waiting } from '../../src/core/simulation/year.ts';

export type Truth = { readonly day: number; readonly sites: readonly Waiting[] };

/** Each site was emptied this morning, but for what is there. */
export function layOutWithLevels(problem: PlanningProblem, { sites }: Truth): WeekBase {
  return layOutWeek({
    ...problem,
    sites: problem.sites.map((site, i) => {
      const { atLeast: _, silence: __, ...model } = site.model;
      const leftKg = sites[i]!.waitingKg + sites[i]!.besideKg;
      return { ...site, model: { ...model, emptiedAt: problem.nowAt, leftKg } };
    }),
  });
}

/** Tables with what will come; what is left at the end keeps the value that the planner gives it. */
export function layOutWithFuture(problem: PlanningProblem, world: World, truth: Truth): WeekBase {
  const week = layOutWeek(problem);
  const tables = week.tables.map((table, i) =>
    trueTable(table, world.sites[i]!, truth.sites[i]!, truth.day, problem.prices),
  );
  return { ...week, tables };
}

function trueTable(
  table: SiteTable,
  site: WorldSite,
  now: Waiting,
  firstDay: number,
  prices: Prices,
): SiteTable {
  const { nodes } = table;
  const overflowMicros = new Float64Array(nodes * nodes);
  const massKg = new Float64Array(nodes * nodes);
  const risk = new Float64Array(nodes * nodes);
  for (let a = 0; a < nodes - 1; a++) {
    const filling = { ...(a === 0 ? now : { waitingKg: 0, besideKg: 0 }), micros: 0, isOver: false };
    // A visit comes at noon: the second half of its day is the next one's.
    if (a > 0) comeHalf(filling, site, firstDay + a - 1, prices, false);
    for (let b = a + 1; b < nodes; b++) {
      const isDay = b < nodes - 1;
      const lost = isDay && comeHalf(filling, site, firstDay + b - 1, prices, false);
      const entry = a * nodes + b;
      massKg[entry] = quantum(filling.waitingKg + filling.besideKg);
      overflowMicros[entry] = Math.round(filling.micros);
      risk[entry] = filling.isOver ? 1 : 0;
      if (isDay) comeHalf(filling, site, firstDay + b - 1, prices, lost);
    }
  }
  return { ...table, overflowMicros, massKg, risk, varianceKg2: new Float64Array(nodes * nodes) };
}

type Filling = { waitingKg: number; besideKg: number; micros: number; isOver: boolean };

/** Half a day's film, as the year lets it come (year.ts); says whether some was lost. */
function comeHalf(
  filling: Filling,
  { massByDayKg, capacityKg, events }: WorldSite,
  day: number,
  prices: Prices,
  isCounted: boolean,
): boolean {
  filling.waitingKg += (massByDayKg[day] ?? 0) / 2;
  for (const { from, until, kgByDay } of events)
    if (day >= from && day <= until) filling.besideKg += kgByDay[day - from]! / 2;
  const lostKg = filling.waitingKg - capacityKg;
  if (lostKg <= 1e-9) return false;
  filling.waitingKg = capacityKg;
  filling.micros +=
    prices.overflowMicrosPerKg * lostKg +
    (isCounted ? 0 : prices.overflowMicrosPerDay) +
    (filling.isOver ? 0 : prices.overflowMicros);
  filling.isOver = true;
  return true;
}
