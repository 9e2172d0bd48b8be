/** What a round's trips load, against the van: the fullest of them, and the chance that one of them is too full. */
import { type TripRisk, tripRisk, type VisitLoad } from './early-full.ts';
import type { PlannedRound } from './plan.ts';
import { MAX_STOPS, UNLOAD } from './steps.ts';
import { visitMassKg, visitVarianceKg2, type WeekState } from './week-state.ts';

type Loads = Pick<
  PlannedRound,
  'loadKg' | 'loadL' | 'cautiousLoadKg' | 'cautiousLoadL' | 'fullEarlyRisk' | 'tripRisks'
>;

export function roundLoads(state: WeekState, shift: number): Loads {
  const { week } = state;
  const { commonSd } = week.problem.prices;
  const held = (mean: number, variance: number): number =>
    mean + week.cautionZ * Math.sqrt(variance + commonSd * commonSd * mean * mean);
  const most = { loadKg: 0, loadL: 0, cautiousLoadKg: 0, cautiousLoadL: 0 };
  const tripRisks: TripRisk[] = [];
  for (const trip of tripsOf(state, shift)) {
    let kg = 0;
    let kg2 = 0;
    let litres = 0;
    let litres2 = 0;
    for (const { massKg, varianceKg2, litresPerKg } of trip) {
      kg += massKg;
      kg2 += varianceKg2;
      litres += massKg * litresPerKg;
      litres2 += varianceKg2 * litresPerKg * litresPerKg;
    }
    most.loadKg = Math.max(most.loadKg, kg);
    most.loadL = Math.max(most.loadL, litres);
    most.cautiousLoadKg = Math.max(most.cautiousLoadKg, held(kg, kg2));
    most.cautiousLoadL = Math.max(most.cautiousLoadL, held(litres, litres2));
    // A site that fills the van on purpose leaves its rest where it is: nobody after it goes short.
    const isMeantToFill = trip.length === 1 && trip[0]!.fillsVan;
    const risk = tripRisk(isMeantToFill ? [] : trip, week.shifts[shift]!, commonSd);
    tripRisks.push({
      ...risk,
      fullEarlyRisk: millionths(risk.fullEarlyRisk),
      leftBehindRisk: millionths(risk.leftBehindRisk),
    });
  }
  return {
    loadKg: grams(most.loadKg),
    loadL: grams(most.loadL),
    cautiousLoadKg: grams(most.cautiousLoadKg),
    cautiousLoadL: grams(most.cautiousLoadL),
    fullEarlyRisk: Math.max(...tripRisks.map((risk) => risk.fullEarlyRisk)),
    tripRisks,
  };
}

/** The visits of each trip in turn. */
function tripsOf(state: WeekState, shift: number): (VisitLoad & { fillsVan: boolean })[][] {
  const { week, orders, counts } = state;
  const { day } = week.shifts[shift]!;
  const trips: (VisitLoad & { fillsVan: boolean })[][] = [[]];
  for (let k = 0; k < counts[shift]!; k++) {
    const site = orders[shift * MAX_STOPS + k]!;
    if (site === UNLOAD) trips.push([]);
    else
      trips.at(-1)!.push({
        massKg: visitMassKg(state, site, day),
        varianceKg2: visitVarianceKg2(state, site, day),
        litresPerKg: week.problem.sites[site]!.model.litresPerKg,
        fillsVan: week.tables[site]!.fillsVan,
      });
  }
  return trips;
}

const grams = (value: number): number => Math.round(value * 1000) / 1000 || 0;
const millionths = (value: number): number => Math.round(value * 1e6) / 1e6 || 0;
