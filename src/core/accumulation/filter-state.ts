/** What the filter knows: numbers of every site side by side in one flat array, and what all sites share. */
import type { Instant, Kg } from '../quantity/units.ts';
import type { EventKind } from '../vocabulary.ts';
import type { FilterParameters } from './site-model.ts';
import type { SurgeRatio } from './surge-ratio.ts';

/** Places of a site's numbers. */
export const STATE = {
  /** The usual opinion: mean rate, kg per exposure-week, and its precision (see `RateState`). */
  meanKg: 0,
  a: 1,
  /** The second opinion, its weight (0: there is none), and since when it holds that the level has changed. */
  otherKg: 2,
  otherA: 3,
  otherWeight: 4,
  otherSinceAt: 5,
  /** Last change of level that was believed: since when (NaN: never), and the mean rate before it. */
  changedAt: 6,
  changedFromKg: 7,
  /** Pickups and "nothing there". */
  weighIns: 8,
  lastAt: 9,
  /** Sum of what was weighed, and of its exposure: what a declaration was worth. */
  sumKg: 10,
  sumWeeks: 11,
  /** This site's own roughness, and the log likelihood of each of `ROUGHNESSES` (seven from `roughnessLog` on). */
  own: 12,
  /** Usual mass of a pickup, on the log scale: weighted sum and weight. */
  logMass: 13,
  logMassWeight: 14,
  /** A report of the least fill since the last emptying: kg and when (NaN: none). */
  saidKg: 15,
  saidAt: 16,
  /** Mean rate when the second opinion came up. */
  otherFromKg: 17,
  roughnessLog: 18,
  size: 25,
} as const;

/** All sites together: how many pickups it takes to move their level. */
const LEVEL_PRIOR_PICKUPS = 20;

/** How far all sites together are above what was forecast for them, and what that rests on. */
export type Level = { seenKg: Kg; forecastKg: Kg; at: Instant; pickupKg: Kg; pickups: number };

export type Filter = {
  readonly parameters: FilterParameters;
  /** Sites × `STATE.size`. */
  readonly states: Float64Array;
  readonly level: Level;
  readonly ratios: Map<EventKind, SurgeRatio>;
  /** Rows that were counted at less than half their weight, in order of time. */
  readonly doubted: { readonly row: number; readonly weight: number }[];
};

export function newFilter(sites: number, parameters: FilterParameters): Filter {
  const states = new Float64Array(sites * STATE.size);
  for (let s = 0; s < sites; s++) {
    states[s * STATE.size + STATE.changedAt] = Number.NaN;
    states[s * STATE.size + STATE.saidAt] = Number.NaN;
    states[s * STATE.size + STATE.lastAt] = Number.NaN;
    states[s * STATE.size + STATE.own] = 1;
  }
  return {
    parameters,
    states,
    level: { seenKg: 0, forecastKg: 0, at: Number.NaN, pickupKg: 0, pickups: 0 },
    ratios: new Map(),
    doubted: [],
  };
}

export const levelFactor = ({ seenKg, forecastKg, pickupKg, pickups }: Level): number => {
  const priorKg = pickups === 0 ? 1 : (LEVEL_PRIOR_PICKUPS * pickupKg) / pickups;
  return (priorKg + seenKg) / (priorKg + forecastKg);
};
