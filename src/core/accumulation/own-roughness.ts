/** How rough one site is against all of them, learnt by the likelihood of seven candidates. */
import type { Kg } from '../quantity/units.ts';
import { densityAt, oddAt } from './densities.ts';
import { STATE } from './filter-state.ts';
import { shapeOf } from './rate.ts';
import { ODD_CHANCE } from './readings.ts';
import type { FilterParameters } from './site-model.ts';

/** A site may be so many times as rough as all sites are. */
const ROUGHNESSES = [0.45, 0.67, 1, 1.5, 2.2, 3.3, 5];
/** Older pickups tell less of it. */
const ROUGHNESS_KEEP = 0.97;

/** Learns a site's own roughness: the likelihood of each candidate, held by how much sites differ (log-normal). */
export function learnRoughness(
  parameters: FilterParameters,
  states: Float64Array,
  st: number,
  accruedKg: Kg,
  rateKg: Kg,
  a: number,
  weeks: number,
  nothingKg: Kg,
): void {
  const spread = parameters.roughnessSpread!;
  const odd = ODD_CHANCE * oddAt(accruedKg, rateKg * weeks, nothingKg);
  let most = -Infinity;
  for (let j = 0; j < ROUGHNESSES.length; j++) {
    const alpha = shapeOf(parameters, rateKg, weeks, ROUGHNESSES[j]!);
    const fits = densityAt(accruedKg, alpha, a, (rateKg * (a - 1) * weeks) / alpha, nothingKg);
    const at = st + STATE.roughnessLog + j;
    states[at] = ROUGHNESS_KEEP * states[at]! + Math.log((1 - ODD_CHANCE) * fits + odd);
    most = Math.max(most, states[at]! - 0.5 * (Math.log(ROUGHNESSES[j]!) / spread) ** 2);
  }
  let sum = 0;
  let log = 0;
  for (let j = 0; j < ROUGHNESSES.length; j++) {
    const own = Math.log(ROUGHNESSES[j]!);
    const p = Math.exp(states[st + STATE.roughnessLog + j]! - 0.5 * (own / spread) ** 2 - most);
    sum += p;
    log += p * own;
  }
  states[st + STATE.own] = Math.exp(log / sum);
}
