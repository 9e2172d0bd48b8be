/** Loads of every trip against the van, at the mean and at the quantile the workshop plans with. */
import { normalCdf } from '../../quantity/special.ts';
import type { PlannedRound } from '../plan.ts';
import type { PlanningProblem, PlanningSite } from '../problem.ts';
import type { Collected, Fault } from './faults.ts';
import { mayFillVan } from './masses.ts';

/** Loads in a plan are rounded to a gram, and a trip has few stops. */
const LOAD_TOLERANCE = 0.001;

function zOf(p: number): number {
  let low = -9;
  let high = 9;
  while (high - low > 1e-13) {
    const z = (low + high) / 2;
    if (normalCdf(z) < p) low = z;
    else high = z;
  }
  return low;
}

export function checkLoads(
  problem: PlanningProblem,
  round: PlannedRound,
  siteOf: ReadonlyMap<string, number>,
  collected: readonly Collected[],
  faults: Fault[],
): void {
  const z = zOf(problem.loadQuantile);
  const day = problem.days.indexOf(round.day);
  const most = { loadKg: 0, loadL: 0, cautiousLoadKg: 0, cautiousLoadL: 0 };
  let lastSite: PlanningSite | undefined;
  let trip: { stops: number; kg: number; kg2: number; litres: number; litres2: number } = {
    stops: 0,
    kg: 0,
    kg2: 0,
    litres: 0,
    litres2: 0,
  };
  const wrong = (what: string, says: number, is: number): void => {
    faults.push({ code: 'load', where: `round ${round.shiftId}: ${what}`, says, is });
  };
  for (const stop of round.stops) {
    if (stop.kind === 'break') continue;
    if (stop.kind === 'site') {
      const site = siteOf.get(stop.siteId ?? '');
      const visit = collected.find((c) => c.site === site && c.day === day);
      if (!visit) continue;
      const litresPerKg = problem.sites[visit.site]!.model.litresPerKg;
      if (Math.abs(stop.expectedKg - visit.kg) > LOAD_TOLERANCE)
        wrong(`${stop.siteId} kg`, stop.expectedKg, visit.kg);
      if (Math.abs(stop.expectedL - visit.kg * litresPerKg) > LOAD_TOLERANCE)
        wrong(`${stop.siteId} litres`, stop.expectedL, visit.kg * litresPerKg);
      if (!(stop.lowKg >= 0 && stop.lowKg <= stop.highKg))
        wrong(`${stop.siteId} interval`, stop.lowKg, stop.highKg);
      lastSite = problem.sites[visit.site]!;
      trip = {
        stops: trip.stops + 1,
        kg: trip.kg + visit.kg,
        kg2: trip.kg2 + visit.kg2,
        litres: trip.litres + visit.kg * litresPerKg,
        litres2: trip.litres2 + visit.kg2 * litresPerKg ** 2,
      };
      continue;
    }
    const cautiousKg = trip.kg + z * Math.sqrt(trip.kg2 + (problem.prices.commonSd * trip.kg) ** 2);
    const cautiousL =
      trip.litres + z * Math.sqrt(trip.litres2 + (problem.prices.commonSd * trip.litres) ** 2);
    const [heldKg, heldL] =
      trip.stops === 1 && mayFillVan(problem, lastSite!) ? [trip.kg, trip.litres] : [cautiousKg, cautiousL];
    if (heldKg > round.payloadKg + LOAD_TOLERANCE) wrong('payload', heldKg, round.payloadKg);
    if (heldL > round.loadSpaceL + LOAD_TOLERANCE) wrong('load space', heldL, round.loadSpaceL);
    most.loadKg = Math.max(most.loadKg, trip.kg);
    most.loadL = Math.max(most.loadL, trip.litres);
    most.cautiousLoadKg = Math.max(most.cautiousLoadKg, cautiousKg);
    most.cautiousLoadL = Math.max(most.cautiousLoadL, cautiousL);
    trip = { stops: 0, kg: 0, kg2: 0, litres: 0, litres2: 0 };
  }
  for (const what of ['loadKg', 'loadL', 'cautiousLoadKg', 'cautiousLoadL'] as const)
    if (Math.abs(round[what] - most[what]) > LOAD_TOLERANCE) wrong(what, round[what], most[what]);
  if (!(round.fullEarlyRisk >= 0 && round.fullEarlyRisk <= 1)) wrong('fullEarlyRisk', round.fullEarlyRisk, 0);
  const here = new Set(round.stops.map((stop) => stop.siteId));
  for (const siteId of round.skipFirst) if (!here.has(siteId)) wrong(`skipFirst ${siteId}`, 0, 1);
}
