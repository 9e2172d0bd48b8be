/**
 * What production could shift so that less film need be bought in: every run moved to another day, in whole or in
 * half, and every two runs exchanged, each priced by the plan's own arrivals. Nothing is left unpressed: the units of
 * the horizon stay, only their days change.
 */
import type { Kg, Micros } from '../quantity/units.ts';

export type PlannedRun = {
  readonly productId: string;
  /** Index in the horizon. */
  readonly day: number;
  readonly units: number;
  /** Net film drawn for one unit, per grade. */
  readonly drawKgPerUnit: readonly Kg[];
  /** Film that goes into the press for one unit: what a day of the press is measured by. */
  readonly filmKgPerUnit: Kg;
};

export type PressRules = {
  /** Per day of the horizon: whether the press runs, and whether it is still time to change what it does. */
  readonly isOpen: readonly boolean[];
  /** Most film that a day of the press takes. */
  readonly mostFilmKg: Kg;
};

export type RunMove = {
  readonly productId: string;
  readonly units: number;
  readonly from: number;
  readonly to: number;
};
/** One move, or two that exchange their days. */
export type ProductionShift = readonly RunMove[];

/** Every shift that the press can do: whole runs, halves, exchanges. */
export function possibleShifts(
  runs: readonly PlannedRun[],
  { isOpen, mostFilmKg }: PressRules,
): ProductionShift[] {
  const filmKg = isOpen.map((_, day) =>
    runs.filter((run) => run.day === day).reduce((sum, run) => sum + run.units * run.filmKgPerUnit, 0),
  );
  /** A day that is over its measure already may not get fuller, but may change what it presses. */
  const takes = (day: number, moreKg: Kg): boolean =>
    moreKg <= 1e-9 || filmKg[day]! + moreKg <= mostFilmKg + 1e-9;
  const movable = runs.filter((run) => isOpen[run.day] && run.units > 0);
  const shifts: ProductionShift[] = [];
  for (const run of movable) {
    for (let to = 0; to < isOpen.length; to++) {
      if (!isOpen[to] || to === run.day) continue;
      for (const units of new Set([run.units, Math.floor(run.units / 2)]))
        if (units > 0 && takes(to, units * run.filmKgPerUnit))
          shifts.push([{ productId: run.productId, units, from: run.day, to }]);
    }
  }
  movable.forEach((a, i) => {
    for (const b of movable.slice(i + 1)) {
      if (a.day === b.day || a.productId === b.productId) continue;
      const aKg = a.units * a.filmKgPerUnit;
      const bKg = b.units * b.filmKgPerUnit;
      if (!takes(a.day, bKg - aKg) || !takes(b.day, aKg - bKg)) continue;
      shifts.push([
        { productId: a.productId, units: a.units, from: a.day, to: b.day },
        { productId: b.productId, units: b.units, from: b.day, to: a.day },
      ]);
    }
  });
  return shifts;
}

/** [day][grade] as it would be. */
export function drawAfter(
  drawKg: readonly (readonly Kg[])[],
  runs: readonly PlannedRun[],
  shift: ProductionShift,
): Kg[][] {
  const next = drawKg.map((day) => [...day]);
  for (const { productId, units, from, to } of shift) {
    const run = runs.find((one) => one.productId === productId && one.day === from)!;
    run.drawKgPerUnit.forEach((kg, grade) => {
      next[from]![grade] = Math.max(0, next[from]![grade]! - units * kg);
      next[to]![grade]! += units * kg;
    });
  }
  return next;
}

/** What the store and buying in cost under a plan's arrivals, for draws by day and grade. */
export type StoreCost = {
  /** Shortage, full store and what is left at the end, as the plan counts them. */
  readonly micros: Micros;
  /** Expected kilograms bought in, per grade. */
  readonly boughtKg: readonly Kg[];
  /** Kilograms bought in, all grades, at evenly spaced quantiles of the arrivals, from little to plenty. */
  readonly boughtAtKg: readonly Kg[];
};

export type Suggestion = {
  readonly shift: ProductionShift;
  readonly savesMicros: Micros;
  readonly avoidsKg: Kg;
  /** 80 % interval of that, all arrivals missing or exceeding together. */
  readonly lowKg: Kg;
  readonly highKg: Kg;
  /** Per grade; negative where more would be bought. */
  readonly avoidsByGradeKg: readonly Kg[];
};

/**
 * The shifts that save most, best first; of those that move the same run, only the best. A tie goes to fewer moves.
 *
 * @param leastMicros what a change is worth to a press at least: below it nobody should be asked
 */
export function bestShifts(
  drawKg: readonly (readonly Kg[])[],
  runs: readonly PlannedRun[],
  rules: PressRules,
  costOf: (drawKg: readonly (readonly Kg[])[]) => StoreCost,
  { count, leastMicros }: { readonly count: number; readonly leastMicros: Micros },
): Suggestion[] {
  const now = costOf(drawKg);
  const priced = possibleShifts(runs, rules).flatMap((shift): Suggestion | [] => {
    const then = costOf(drawAfter(drawKg, runs, shift));
    const savesMicros = now.micros - then.micros;
    return savesMicros < leastMicros ? [] : { shift, savesMicros, ...avoided(now, then) };
  });
  priced.sort((a, b) => b.savesMicros - a.savesMicros || a.shift.length - b.shift.length);
  const seen = new Set<string>();
  return priced
    .filter(({ shift }) => {
      const names = shift.map(({ productId, from }) => `${productId} ${from}`);
      if (names.some((name) => seen.has(name))) return false;
      for (const name of names) seen.add(name);
      return true;
    })
    .slice(0, count);
}

function avoided(now: StoreCost, then: StoreCost) {
  const avoidsByGradeKg = now.boughtKg.map((kg, grade) => kg - then.boughtKg[grade]!);
  const byQuantile = now.boughtAtKg.map((kg, i) => kg - then.boughtAtKg[i]!).sort((a, b) => a - b);
  const at = (p: number): Kg => byQuantile[Math.round(p * (byQuantile.length - 1))] ?? 0;
  return {
    avoidsKg: avoidsByGradeKg.reduce((sum, kg) => sum + kg, 0),
    lowKg: at(0.1),
    highKg: at(0.9),
    avoidsByGradeKg,
  };
}
