/**
 * From the planner's own data to what the sheet shows. Pure: the use case reads, this arranges.
 */
import { accrualBetween, fillAt, overflowRisk, quantileKg } from '../../core/accumulation/forecast.ts';
import type { MassForecast } from '../../core/accumulation/mass-forecast.ts';
import type { SiteModel } from '../../core/accumulation/site-model.ts';
import { coverAfter } from '../../core/feedstock/need.ts';
import type { Plan, StockDay } from '../../core/planning/plan.ts';
import type { PlanningProblem, PlanningSite } from '../../core/planning/problem.ts';
import type { Instant, Kg, LocalDay, TimeWindow } from '../../core/quantity/units.ts';
import { gradeName } from '../shared/words.ts';
import type { DayColumn } from './day-scale.ts';
import type {
  FanPoint,
  PlanHead,
  RoundFoot,
  SiteMark,
  SiteStrip,
  StockColumn,
  StockLine,
  WeekSheetView,
  WorkshopView,
} from './week-sheet-view.ts';

export type WeekSheetFacts = {
  readonly workshop: WorkshopView;
  readonly doubts: WeekSheetView['doubts'];
  readonly nowAt: Instant;
  /** Today's facts over the sheet's days: `buildPlanningProblem` for the plan's first day and length. */
  readonly problem: PlanningProblem;
  readonly plan?: Plan;
  readonly head?: PlanHead;
  readonly publishedPlanId?: string;
  readonly rounds: readonly RoundFoot[];
  /** Name and small print ("shop, Mill Lane") of every site. */
  readonly sites: { readonly [siteId: string]: { readonly name: string; readonly place: string } };
  readonly register: WeekSheetView['register'];
};

export function buildWeekSheet(facts: WeekSheetFacts): WeekSheetView {
  const { problem, plan, rounds, head, publishedPlanId } = facts;
  const days = problem.days.map(
    (day, i): DayColumn => ({
      day,
      startsAt: problem.dayStartsAt[i]!,
      endsAt: problem.dayStartsAt[i + 1]!,
    }),
  );
  const grades = stockLines(problem, plan);
  return {
    workshop: facts.workshop,
    nowAt: facts.nowAt,
    days,
    ...(head ? { plan: head } : {}),
    ...(publishedPlanId ? { publishedPlanId } : {}),
    storeLimitKg: problem.storeLimitKg,
    stock: together(grades),
    grades: grades
      .filter((line) => line.days.some((day) => day.drawKg > 0))
      .sort((a, b) => lowestCover(a) - lowestCover(b)),
    strips: problem.sites
      .map((site) => stripOf(site, days, rounds, facts.sites[site.siteId]))
      .sort(byUrgency),
    rounds,
    leftOut: plan?.leftOut ?? [],
    unkept: plan?.unkept ?? [],
    doubts: facts.doubts,
    siteNames: Object.fromEntries(Object.entries(facts.sites).map(([id, { name }]) => [id, name])),
    register: facts.register,
  };
}

// ---- sites -----------------------------------------------------------------------------------------------

const SAMPLES_PER_DAY = 4;
/** Risks closer than this are as good as equal: then the fuller site comes first. */
const SAME_RISK = 0.005;

const byUrgency = (a: SiteStrip, b: SiteStrip): number =>
  Math.abs(b.overflowRisk - a.overflowRisk) > SAME_RISK
    ? b.overflowRisk - a.overflowRisk
    : b.nowKg / b.capacityKg - a.nowKg / a.capacityKg || a.name.localeCompare(b.name);

type Visit = { readonly at: Instant; readonly expectedKg: Kg; readonly roundId: string };

const visitsOf = (siteId: string, rounds: readonly RoundFoot[]): Visit[] =>
  rounds
    .flatMap(({ id, round }) =>
      round.stops
        .filter((stop) => stop.siteId === siteId)
        .map((stop) => ({ at: stop.startAt, expectedKg: stop.expectedKg, roundId: id })),
    )
    .sort((a, b) => a.at - b.at);

function stripOf(
  site: PlanningSite,
  days: readonly DayColumn[],
  rounds: readonly RoundFoot[],
  words = { name: site.siteId, place: '' },
): SiteStrip {
  const { model } = site;
  const visits = visitsOf(site.siteId, rounds);
  const risk = worstRisk(model, days, visits);
  return {
    siteId: site.siteId,
    ...words,
    capacityKg: model.capacityKg,
    nowKg: quantileKg(fillAt(model, days[0]!.startsAt), 0.5),
    overflowRisk: risk.chance,
    riskDay: risk.day,
    fans: fansOf(model, days, visits),
    marks: [...marksOf(site, days), ...visits.map((visit): SiteMark => ({ kind: 'visit', ...visit }))],
  };
}

const fillBetween = (model: SiteModel, emptiedAt: Instant | undefined, at: Instant): MassForecast =>
  emptiedAt === undefined ? fillAt(model, at) : accrualBetween(model, emptiedAt, at);

const pointOf = (forecast: MassForecast, at: Instant): FanPoint => ({
  at,
  lowKg: quantileKg(forecast, 0.1),
  q25Kg: quantileKg(forecast, 0.25),
  medianKg: quantileKg(forecast, 0.5),
  q75Kg: quantileKg(forecast, 0.75),
  highKg: quantileKg(forecast, 0.9),
});

/** The fill's fan from the start of the sheet to each visit, and from each visit to the next. */
export function fansOf(
  model: SiteModel,
  days: readonly DayColumn[],
  visits: readonly { readonly at: Instant }[],
): FanPoint[][] {
  const endAt = days.at(-1)!.endsAt;
  const cuts = [days[0]!.startsAt, ...visits.map((visit) => visit.at), endAt];
  const grid = days.flatMap(({ startsAt, endsAt }) =>
    Array.from({ length: SAMPLES_PER_DAY }, (_, i) => startsAt + ((endsAt - startsAt) * i) / SAMPLES_PER_DAY),
  );
  return cuts.slice(0, -1).map((fromAt, i) => {
    const untilAt = cuts[i + 1]!;
    const emptiedAt = i === 0 ? undefined : fromAt;
    const inside = grid.filter((at) => at > fromAt && at < untilAt);
    return [fromAt, ...inside, untilAt].map((at) => pointOf(fillBetween(model, emptiedAt, at), at));
  });
}

/** Fills only rise between two visits, so the greatest risk stands just before one, or at the end. */
function worstRisk(model: SiteModel, days: readonly DayColumn[], visits: readonly Visit[]) {
  const endAt = days.at(-1)!.endsAt;
  let worst = { chance: 0, day: days.at(-1)!.day };
  [...visits.map((visit) => visit.at), endAt].forEach((at, i) => {
    const emptiedAt = i === 0 ? undefined : visits[i - 1]!.at;
    const chance = overflowRisk(fillBetween(model, emptiedAt, at), model.capacityKg);
    if (chance > worst.chance)
      worst = { chance, day: days.find((day) => at <= day.endsAt)?.day ?? worst.day };
  });
  return worst;
}

function marksOf(site: PlanningSite, days: readonly DayColumn[]): SiteMark[] {
  const inSheet = ({ fromAt, untilAt }: TimeWindow) =>
    untilAt > days[0]!.startsAt && fromAt < days.at(-1)!.endsAt;
  const promises = site.promises.flatMap(({ kind, windows }) =>
    windows
      .filter(inSheet)
      .map((window): SiteMark => ({ kind: kind === 'booking' ? 'booking' : 'promise', ...window })),
  );
  const habits = site.usualDays.flatMap((index): SiteMark[] => {
    const day = days[index];
    if (!day) return [];
    const open = site.openByDay[index] ?? [];
    const fromAt = open[0]?.fromAt ?? day.startsAt;
    return [{ kind: 'usual', fromAt, untilAt: open.at(-1)?.untilAt ?? day.endsAt }];
  });
  const surges = site.model.surges
    .map(({ startsAt, endsAt, eventKind, expectedKg }) => ({
      kind: 'surge' as const,
      fromAt: startsAt,
      untilAt: endsAt,
      eventKind,
      expectedKg,
    }))
    .filter(inSheet);
  const closed = days.flatMap((day, i): SiteMark[] =>
    site.openByDay[i]?.length === 0 ? [{ kind: 'closed', fromAt: day.startsAt, untilAt: day.endsAt }] : [],
  );
  return [...closed, ...surges, ...promises, ...habits];
}

// ---- the store -------------------------------------------------------------------------------------------

/** One line a grade. Without a plan nothing arrives, and the stock falls by what is drawn. */
function stockLines(problem: PlanningProblem, plan: Plan | undefined): StockLine[] {
  return problem.grades.map((grade, k): StockLine => {
    const draws = problem.drawKg.map((row) => row[k]!);
    const planned = new Map<LocalDay, StockDay>(
      (plan?.stock ?? []).filter((row) => row.grade === grade).map((row) => [row.day, row]),
    );
    let leftKg = problem.stockKg[k]!;
    const days = problem.days.map((day, i): StockColumn => {
      const drawKg = draws[i]!;
      const row = planned.get(day);
      const shortKg = row ? row.shortKg : Math.max(0, drawKg - leftKg);
      leftKg = Math.max(0, leftKg - drawKg);
      const evening = row ?? {
        drawKg,
        arrivingKg: 0,
        stockKg: leftKg,
        lowKg: leftKg,
        highKg: leftKg,
        shortageRisk: shortKg > 0 ? 1 : 0,
        shortKg,
      };
      return { ...evening, coverDays: coverAfter(evening.stockKg, draws, i, LONG_COVER) };
    });
    return { grade, name: gradeName(grade), openingKg: problem.stockKg[k]!, days };
  });
}

/** Beyond a month, cover is plenty and the number says nothing. */
export const LONG_COVER = 30;

/**
 * All grades together. The ends of the intervals are added up: arrivals of a day come from the same vans and the
 * same weather, so they miss together, and a sum that is too wide is the safe side.
 */
function together(lines: readonly StockLine[]): StockLine {
  const openingKg = lines.reduce((sum, line) => sum + line.openingKg, 0);
  const count = lines[0]?.days.length ?? 0;
  const sumOf = (i: number, part: 'drawKg' | 'arrivingKg' | 'stockKg' | 'lowKg' | 'highKg' | 'shortKg') =>
    lines.reduce((sum, line) => sum + line.days[i]![part], 0);
  const draws = Array.from({ length: count }, (_, i) => sumOf(i, 'drawKg'));
  const days = draws.map((drawKg, i): StockColumn => {
    const stockKg = sumOf(i, 'stockKg');
    return {
      drawKg,
      arrivingKg: sumOf(i, 'arrivingKg'),
      stockKg,
      lowKg: sumOf(i, 'lowKg'),
      highKg: sumOf(i, 'highKg'),
      shortKg: sumOf(i, 'shortKg'),
      shortageRisk: Math.max(0, ...lines.map((line) => line.days[i]!.shortageRisk)),
      coverDays: coverAfter(stockKg, draws, i, LONG_COVER),
    };
  });
  return { name: 'All film', openingKg, days };
}

const lowestCover = (line: StockLine): number => Math.min(...line.days.map((day) => day.coverDays));
