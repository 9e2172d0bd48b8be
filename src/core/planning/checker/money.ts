/** All money of a plan, by part, day by day and in total. */
import type { SiteModel } from '../../accumulation/site-model.ts';
import { MONEY_PARTS, type Money, type Plan, type PlannedRound } from '../plan.ts';
import type { PlanningProblem } from '../problem.ts';
import { type Collected, type Fault, type Visit, visitsOf } from './faults.ts';
import { duePromises } from './promises.ts';
import { addStock } from './store.ts';
import { type MoneySums, nothing, sumOf } from './sums.ts';
import { kiloPrices, siteOverflow, visitPrices } from './waiting.ts';

export function checkMoney(
  problem: PlanningProblem,
  plan: Plan,
  models: readonly SiteModel[],
  visits: readonly Visit[],
  collected: readonly Collected[],
  faults: Fault[],
): void {
  const byDay = problem.days.map(nothing);
  const lastDay = byDay.length - 1;
  for (const round of plan.rounds) {
    const is = roundMoney(problem, round);
    compareMoney(round.money, is, `round ${round.shiftId}`, faults);
    const day = problem.days.indexOf(round.day);
    for (const part of MONEY_PARTS) byDay[day]![part] += is[part];
  }
  const visitMicros = visitPrices(problem);
  const kiloMicros = kiloPrices(problem);
  problem.sites.forEach((_, i) => {
    const mine = visitsOf(visits, i);
    siteOverflow(problem, models[i]!, i, mine, visitMicros[i]!, kiloMicros[i]!, byDay);
  });
  addHabitsAndChanges(problem, visits, byDay);
  for (const { isKept, lastUntilAt } of duePromises(problem, visits)) {
    if (isKept) continue;
    const after = problem.days.findIndex((_, d) => lastUntilAt <= problem.dayStartsAt[d + 1]!);
    byDay[after < 0 ? lastDay : after]!.lateness += problem.prices.brokenPromiseMicros;
  }
  addStock(problem, collected, byDay);

  const total = nothing();
  byDay.forEach((money, day) => {
    const said = plan.moneyByDay[day];
    if (!said) faults.push({ code: 'money', where: `day ${day}`, is: 'missing' });
    else compareMoney(said, money, `day ${day}`, faults);
    for (const part of MONEY_PARTS) total[part] += money[part];
  });
  compareMoney(plan.money, total, 'plan', faults);
  if (plan.costMicros !== sumOf(total))
    faults.push({ code: 'money', where: 'cost', says: plan.costMicros, is: sumOf(total) });
}

function compareMoney(said: Money, is: Money, where: string, faults: Fault[]): void {
  for (const part of MONEY_PARTS)
    if (said[part] !== is[part])
      faults.push({ code: 'money', where: `${where}: ${part}`, says: said[part], is: is[part] });
}

function roundMoney(problem: PlanningProblem, round: PlannedRound): MoneySums {
  const shift = problem.shifts.find((s) => s.shiftId === round.shiftId)!;
  const metres = round.stops.reduce((sum, stop) => sum + stop.legM, 0);
  const money = nothing();
  money.distance = Math.round((metres * shift.costMicrosPerKm) / 1000);
  money.time = Math.round(((round.endAt - round.startAt) * shift.costMicrosPerHour) / 3600);
  money.overtime = Math.round(
    (Math.max(0, round.endAt - Math.floor(shift.endAt)) * problem.prices.overtimeMicrosPerHour) / 3600,
  );
  money.unloading = round.stops.filter((stop) => stop.kind === 'unload').length * problem.prices.unloadMicros;
  return money;
}

function addHabitsAndChanges(problem: PlanningProblem, visits: readonly Visit[], byDay: MoneySums[]): void {
  const { prices, published } = problem;
  problem.sites.forEach((site, i) => {
    for (const day of new Set(site.usualDays))
      if (!visits.some((visit) => visit.site === i && visit.day === day))
        byDay[day]!.habit += prices.brokenHabitMicros;
  });
  const known = published.filter(
    (p) =>
      p.dayIndex >= 0 && p.dayIndex < byDay.length && problem.sites.some((site) => site.siteId === p.siteId),
  );
  const lastDay = known.reduce((last, p) => Math.max(last, p.dayIndex), -1);
  for (let day = 0; day <= lastDay; day++) {
    const micros = Math.round(prices.changeMicros / (1 + day));
    problem.sites.forEach((site, i) => {
      const was = known.filter((p) => p.siteId === site.siteId && p.dayIndex === day).at(-1)?.shiftId;
      const visit = visits.find((v) => v.site === i && v.day === day);
      const is = visit && problem.shifts[visit.shift]!.shiftId;
      if (was !== is) byDay[day]!.change += micros;
    });
  }
}
