/**
 * Production under a plan: how likely each grade runs short and what would be bought in, and what production could
 * shift so that less is. Reads; writes nothing.
 */
import { addDays, localOf } from '../core/calendar/zone.ts';
import { netFilmKg } from '../core/feedstock/need.ts';
import {
  bestShifts,
  type PlannedRun,
  type PressRules,
  type StoreCost,
} from '../core/feedstock/shift-production.ts';
import type { Plan, StockDay } from '../core/planning/plan.ts';
import type { PlanningProblem } from '../core/planning/problem.ts';
import { type StoreOutlook, storeOutlook } from '../core/planning/store-outlook.ts';
import type { Instant, Kg, LocalDay, Micros } from '../core/quantity/units.ts';
import type { Grade } from '../core/vocabulary.ts';
import type { Db } from '../store/db.ts';
import type { StoredPlan } from '../store/plans.ts';
import { listProductionBetween, type ProductionDay } from '../store/production.ts';
import { listProducts, type Product } from '../store/products.ts';
import { requireWorkshop } from '../store/workshop.ts';
import { problemOfPlan } from './build-planning-problem.ts';
import { planToShow } from './plan-to-show.ts';

export type GradeOutlook = {
  readonly grade: Grade;
  /** Days that go by with at most `SAFE_RISK` of running short. */
  readonly safeDays: number;
  readonly buyKg: Kg;
  readonly buyMicros: Micros;
  /** A row a day: the plan's rounds with production as it is now. */
  readonly days: readonly StockDay[];
};

export type ProductMove = {
  readonly product: string;
  readonly units: number;
  /** False where a part of the run stays on its day. */
  readonly isWhole: boolean;
  readonly fromDay: LocalDay;
  readonly toDay: LocalDay;
};

export type ProductionAdvice = {
  /** One run moved, or two that exchange their days. */
  readonly moves: readonly ProductMove[];
  readonly savesMicros: Micros;
  readonly avoidsKg: Kg;
  readonly lowKg: Kg;
  readonly highKg: Kg;
  /** The grade of which most is avoided; absent where the store is what is relieved. */
  readonly grade?: Grade;
};

export type ProductionOutlook = {
  readonly days: readonly LocalDay[];
  /** Only grades that production draws, the one that is short first on top. */
  readonly grades: readonly GradeOutlook[];
  readonly buyKg: Kg;
  readonly buyMicros: Micros;
  /** 80 % interval of what is bought in, all arrivals missing or exceeding together. */
  readonly buyLowKg: Kg;
  readonly buyHighKg: Kg;
  readonly advice: readonly ProductionAdvice[];
  /** Most film that advice asks a day of the press to take. */
  readonly mostFilmKg: Kg;
};

/** A week in which one grade runs short once in twenty weeks. */
export const SAFE_RISK = 0.05;
const ADVICE_SHOWN = 4;
/** Below this nobody should be asked to change a day: own judgement. */
const LEAST_MICROS = 2_000_000;
/** How far back the press is watched: on which weekdays it runs, and how much it takes. */
const WATCHED_DAYS = 56;
/** A day may take a tenth more film than the fullest one that was planned: own judgement. */
const MORE_THAN_EVER = 1.1;

/** Of the plan on show; nothing where there is no plan yet. */
export function readProductionOutlook(
  db: Db,
  nowAt: Instant,
  stored: StoredPlan | undefined = planToShow(db),
): ProductionOutlook | undefined {
  if (!stored) return undefined;
  const problem = problemOfPlan(db, nowAt, stored);
  return productionOutlook(db, nowAt, problem, stored.plan);
}

export function productionOutlook(
  db: Db,
  nowAt: Instant,
  problem: PlanningProblem,
  plan: Plan,
): ProductionOutlook {
  const products = listProducts(db);
  const { days } = problem;
  const watched = listProductionBetween(db, addDays(days[0]!, -WATCHED_DAYS), days.at(-1)!);
  const today = localOf(requireWorkshop(db).zone, nowAt).day;
  const rules = pressRules(watched, products, days, today);
  const runs = watched
    .filter((run) => run.day >= days[0]! && run.doneAt === null)
    .map((run) => plannedRun(run, products, problem));
  const outlook = storeOutlook(problem, plan);
  const now = outlook.costOf(problem.drawKg);
  const nameOf = new Map(products.map(({ id, name }) => [id, name]));
  const suggestions = bestShifts(problem.drawKg, runs, rules, outlook.costOf, {
    count: ADVICE_SHOWN,
    leastMicros: LEAST_MICROS,
  });
  return {
    days,
    ...boughtIn(now, problem),
    grades: gradesOf(now, problem, outlook),
    advice: suggestions.map(({ shift, avoidsByGradeKg, savesMicros, ...avoids }): ProductionAdvice => {
      const most = avoidsByGradeKg.indexOf(Math.max(...avoidsByGradeKg));
      const grade = (avoidsByGradeKg[most] ?? 0) >= 0.5 ? problem.grades[most] : undefined;
      return {
        savesMicros,
        avoidsKg: grams(avoids.avoidsKg),
        lowKg: grams(avoids.lowKg),
        highKg: grams(avoids.highKg),
        moves: shift.map(({ productId, units, from, to }) => ({
          product: nameOf.get(productId) ?? '',
          units,
          isWhole: runs.some((run) => run.productId === productId && run.day === from && run.units === units),
          fromDay: days[from]!,
          toDay: days[to]!,
        })),
        ...(grade === undefined ? {} : { grade }),
      };
    }),
    mostFilmKg: rules.mostFilmKg,
  };
}

function boughtIn({ boughtKg, boughtAtKg }: StoreCost, { buyPriceMicrosPerKg }: PlanningProblem) {
  const at = (p: number): Kg =>
    boughtAtKg.toSorted((a, b) => a - b)[Math.round(p * (boughtAtKg.length - 1))]!;
  return {
    buyKg: grams(boughtKg.reduce((sum, kg) => sum + kg, 0)),
    buyMicros: boughtKg.reduce((sum, kg, k) => sum + Math.round(grams(kg) * buyPriceMicrosPerKg[k]!), 0),
    buyLowKg: grams(at(0.1)),
    buyHighKg: grams(at(0.9)),
  };
}

/** As the plan's own table: a billionth of a kilogram is nothing. */
const grams = (kg: Kg): Kg => Math.round(kg * 1000) / 1000 || 0;

function gradesOf(
  now: StoreCost,
  problem: PlanningProblem,
  { days, safeDaysOf }: StoreOutlook,
): GradeOutlook[] {
  const safeDays = safeDaysOf(SAFE_RISK);
  const grades = problem.grades.flatMap((grade, k): GradeOutlook | [] => {
    const safe = safeDays.get(grade);
    if (safe === undefined) return [];
    const buyKg = grams(now.boughtKg[k]!);
    return {
      grade,
      safeDays: safe,
      buyKg,
      buyMicros: Math.round(buyKg * problem.buyPriceMicrosPerKg[k]!),
      days: days.filter((row) => row.grade === grade),
    };
  });
  return grades.sort((a, b) => a.safeDays - b.safeDays || b.buyMicros - a.buyMicros);
}

/** The press runs on weekdays on which it has run; what is over, and a day that has begun to be pressed, stays. */
function pressRules(
  watched: readonly ProductionDay[],
  products: readonly Product[],
  days: readonly LocalDay[],
  today: LocalDay,
): PressRules {
  const filmKgPerUnit = new Map(products.map((product) => [product.id, product.filmKgPerUnit]));
  const weekday = (day: LocalDay): number => Temporal.PlainDate.from(day).dayOfWeek;
  const weekdays = new Set(watched.filter((run) => run.units > 0).map((run) => weekday(run.day)));
  const filmKg = [...Map.groupBy(watched, (run) => run.day).values()].map((runs) =>
    runs.reduce((sum, run) => sum + run.units * filmKgPerUnit.get(run.productId)!, 0),
  );
  const hasBegun = (day: LocalDay): boolean => watched.some((run) => run.day === day && run.doneAt !== null);
  return {
    isOpen: days.map((day) => day >= today && weekdays.has(weekday(day)) && !hasBegun(day)),
    mostFilmKg: MORE_THAN_EVER * Math.max(0, ...filmKg),
  };
}

function plannedRun(
  { productId, day, units }: ProductionDay,
  products: readonly Product[],
  { days, grades }: PlanningProblem,
): PlannedRun {
  const product = products.find((one) => one.id === productId)!;
  const netKg = netFilmKg(product, 1);
  return {
    productId,
    day: days.indexOf(day),
    units,
    drawKgPerUnit: grades.map((grade) => netKg * (product.gradeShares[grade] ?? 0)),
    filmKgPerUnit: product.filmKgPerUnit,
  };
}
