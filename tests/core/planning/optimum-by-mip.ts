/**
 * The cheapest week by a mixed-integer programme, for towns without production (whose cost is not linear), with loads at
 * the mean and hours that never bind. Solved by `highs`, a general-purpose solver. Interval formulation: y = 1 where a
 * and b are consecutive visits of a site, so that overflow, mass and end value, tabulated per pair, are linear; x = arcs
 * of a shift's trips, f = load on them (single-commodity flow, Gavish & Graves 1978).
 */
import highsModule from 'highs';
import type { PlanningProblem } from '../../../src/core/planning/problem.ts';
import { withPromises } from '../../../src/core/planning/promises.ts';
import { layOutWeek } from '../../../src/core/planning/week.ts';
import { at, randomTown } from '../../fixtures/planning-problems.ts';

/** 2 to 6 sites, 2 or 3 days, one van or two of different size and price; tight vans, closed days, habits, an older plan. */
export function tinyTown(seed: number): PlanningProblem {
  const days = 2 + (seed % 2);
  const town = randomTown(seed, {
    sites: 2 + (seed % 5),
    days,
    vans: 1 + (seed % 3 === 0 ? 1 : 0),
    usual: 0.3,
    published: seed % 4 === 0 ? 0.4 : 0,
    loadSpaceL: [900, 1600, 4000][seed % 3]!,
    prices: { maxOvertimeS: 0, commonSd: 0, storeOverflowMicrosPerKgDay: 0 },
  });
  return {
    ...town,
    loadQuantile: 0.5,
    storeLimitKg: 1e6,
    breakRule: { maxWorkS: 86_400, breakS: 0 },
    drawKg: town.drawKg.map((row) => row.map(() => 0)),
    unloadByDay: town.days.map((_, day) => [{ fromAt: at(day, 0), untilAt: at(day, 24) }]),
    sites: town.sites.map((site) => ({
      ...site,
      openByDay: site.openByDay.map((windows, day) =>
        windows.length === 0 ? [] : [{ fromAt: at(day, 0), untilAt: at(day, 24) }],
      ),
    })),
    shifts: town.shifts.map((shift) => {
      const isSecond = shift.vanId === 'van-1';
      return {
        ...shift,
        startAt: at(shift.dayIndex, 0),
        endAt: at(shift.dayIndex, 23.9),
        loadSpaceL: isSecond ? 0.6 * shift.loadSpaceL : shift.loadSpaceL,
        costMicrosPerKm: isSecond ? 300_000 : 450_000,
      };
    }),
  };
}

type Highs = {
  solve(
    lp: string,
    options: { readonly mip_rel_gap: number; readonly mip_abs_gap: number },
  ): { readonly Status: string; readonly ObjectiveValue: number };
};
// Its types describe an ES module; what Node loads is the function itself.
const makeHighs = highsModule as unknown as () => Promise<Highs>;
let solver: Promise<Highs> | undefined;

/** @returns the least cost in micros, to the solver's tolerance (under a thousandth of the currency). */
export async function cheapestByMip(problem: PlanningProblem): Promise<number> {
  solver ??= makeHighs();
  const highs = await solver;
  const lp = programme(problem);
  const { Status, ObjectiveValue } = highs.solve(lp.text, { mip_rel_gap: 0, mip_abs_gap: 1e-6 });
  if (Status !== 'Optimal') throw new Error(`the solver says ${Status}`);
  return Math.round((ObjectiveValue + lp.constant) * 1e6);
}

function programme(problem: PlanningProblem): { text: string; constant: number } {
  const { week } = withPromises(layOutWeek(problem));
  const { days, sites, shifts, tables } = week;
  // Readers of LP text do not add up a variable that comes twice.
  const objective = new Map<string, number>();
  const rows: string[] = [];
  const binaries: string[] = [];
  let constant = 0;
  const term = (micros: number, name: string): void => {
    objective.set(name, (objective.get(name) ?? 0) + micros);
  };
  const end = days + 1;
  const isOpen = (i: number, day: number): boolean =>
    week.spans[i * days + day]!.length > 0 && week.shiftsOfDay[day]!.length > 0;
  const nodesOf = (i: number): number[] => [
    0,
    ...Array.from({ length: days }, (_, d) => d + 1).filter((b) => isOpen(i, b - 1)),
    end,
  ];

  for (let i = 0; i < sites; i++) {
    const { nodes, overflowMicros, leftAtEndMicros } = tables[i]!;
    const list = nodesOf(i);
    const into = new Map<number, string[]>(list.map((b) => [b, []]));
    const out = new Map<number, string[]>(list.map((a) => [a, []]));
    for (const a of list)
      for (const b of list) {
        if (b <= a || a === end) continue;
        const y = `y_${i}_${a}_${b}`;
        binaries.push(y);
        term(overflowMicros[a * nodes + b]! + (b === end ? leftAtEndMicros[a]! : 0), y);
        into.get(b)!.push(y);
        out.get(a)!.push(y);
      }
    rows.push(`${out.get(0)!.join(' + ')} = 1`);
    for (const b of list) {
      if (b === 0 || b === end) continue;
      rows.push(`${into.get(b)!.join(' + ')} - ${out.get(b)!.join(' - ')} = 0`);
      // Visited on that day by exactly one shift.
      const visits = week.shiftsOfDay[b - 1]!.map((s) => `z_${i}_${s}`);
      rows.push(`${into.get(b)!.join(' + ')} - ${visits.join(' - ')} = 0`);
    }
    // Habits and changes: a constant, less what a visit saves.
    for (let day = 0; day < days; day++) {
      const node = i * days + day;
      if (week.usualMask[i]! & (1 << day)) {
        constant += problem.prices.brokenHabitMicros / 1e6;
        if (isOpen(i, day))
          for (const s of week.shiftsOfDay[day]!) term(-problem.prices.brokenHabitMicros, `z_${i}_${s}`);
      }
      const change = week.changeMicros[node]!;
      const published = week.publishedShift[node]!;
      if (change === 0) continue;
      if (published >= 0) constant += change / 1e6;
      if (!isOpen(i, day)) continue;
      for (const s of week.shiftsOfDay[day]!)
        if (s === published) term(-change, `z_${i}_${s}`);
        else if (published < 0) term(change, `z_${i}_${s}`);
    }
  }

  for (const { index: s, day, microsPerKm, microsPerHour, payloadKg, loadSpaceL } of shifts) {
    const here = Array.from({ length: sites }, (_, i) => i).filter((i) => isOpen(i, day));
    const places = [-1, ...here];
    const placeOf = (i: number): number => (i < 0 ? problem.workshopPlace : week.place[i]!);
    const name = (i: number): string => (i < 0 ? 'w' : String(i));
    for (const i of here) binaries.push(`z_${i}_${s}`);
    for (const from of places)
      for (const to of places) {
        if (from === to) continue;
        const x = `x_${name(from)}_${name(to)}_${s}`;
        binaries.push(x);
        const leg = placeOf(from) * week.places + placeOf(to);
        const seconds = week.legS[leg]! + (to < 0 ? problem.prices.unloadS : week.serviceS[to]!);
        term(
          (week.legM[leg]! * microsPerKm) / 1000 +
            (seconds * microsPerHour) / 3600 +
            (to < 0 ? problem.prices.unloadMicros : 0),
          x,
        );
      }
    for (const i of here) {
      const into = places.filter((p) => p !== i).map((p) => `x_${name(p)}_${i}_${s}`);
      const out = places.filter((p) => p !== i).map((p) => `x_${i}_${name(p)}_${s}`);
      rows.push(`${into.join(' + ')} - z_${i}_${s} = 0`, `${out.join(' + ')} - z_${i}_${s} = 0`);
    }
    const starts = here.map((i) => `x_w_${i}_${s}`);
    const ends = here.map((i) => `x_${i}_w_${s}`);
    if (here.length > 0) rows.push(`${starts.join(' + ')} - ${ends.join(' - ')} = 0`);
    for (const [dimension, limit] of [
      ['k', payloadKg],
      ['l', loadSpaceL],
    ] as const) {
      for (const i of here) {
        const { nodes, massKg } = tables[i]!;
        const perKg = dimension === 'k' ? 1 : problem.sites[i]!.model.litresPerKg;
        const load = (other: number, out: boolean): string =>
          out ? `f${dimension}_${i}_${name(other)}_${s}` : `f${dimension}_${other}_${i}_${s}`;
        const out = places.filter((p) => p !== i).map((p) => load(p, true));
        // Vans leave the workshop empty.
        const into = here.filter((p) => p !== i).map((p) => load(p, false));
        const biggest = Math.max(
          ...nodesOf(i).flatMap((a) => (a < day + 1 ? [massKg[a * nodes + day + 1]!] : [])),
        );
        const masses = nodesOf(i)
          .filter((a) => a < day + 1)
          .map((a) => `- ${perKg * massKg[a * nodes + day + 1]!} y_${i}_${a}_${day + 1}`);
        // out - in >= mass, where this shift makes the visit.
        rows.push(
          `${out.join(' + ')} ${into.map((f) => `- ${f}`).join(' ')} ${masses.join(' ')} - ${perKg * biggest} z_${i}_${s} >= ${-perKg * biggest}`,
        );
        for (const p of places)
          if (p !== i) rows.push(`${load(p, true)} - ${limit} x_${i}_${name(p)}_${s} <= 0`);
      }
    }
  }
  const text = [
    'Minimize',
    ` obj: ${[...objective].map(([name, micros]) => `${micros < 0 ? '-' : '+'} ${Math.abs(micros) / 1e6} ${name}`).join('\n ')}`,
    'Subject To',
    ...rows.map((row, k) => ` c${k}: ${row}`),
    'Binaries',
    ` ${binaries.join('\n ')}`,
    'End',
    '',
  ].join('\n');
  return { text, constant };
}
