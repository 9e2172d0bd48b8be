/**
 * What is known of how one site fills: plain data (it crosses thread borders), made by `learnSite` from the
 * site's history and asked by `forecast.ts`. See README.md of this folder for the model.
 */
import type { Instant, Kg, Litres, LocalDay } from '../quantity/units.ts';
import type { EventKind, Grade } from '../vocabulary.ts';

/** Pooled parameters of the filter, fitted over the workshop's own history. */
export type FilterParameters = {
  /** Discount per week, 0 < δ ≤ 1: how much of the precision survives a week without news. */
  readonly forgetPerWeek: number;
  /** κ, kg: granularity (a bag's mass and clumping). */
  readonly granularityKg: Kg;
  /** ω: relative variance per exposure-week that does not shrink with volume. */
  readonly roughness: number;
  /** φ: relative variance of every pickup, however long it gathered (habits of filling, of emptying). 0 if absent. */
  readonly perPickup?: number;
  /** Chance per week that a site's level changes for good. 0 if absent. */
  readonly changePerWeek?: number;
  /** How much sites differ in roughness: standard deviation of its log. Absent: all are equally rough. */
  readonly roughnessSpread?: number;
  /**
   * Spread (log scale) around the usual mass at which a site is emptied, where the time of a pickup depends on the
   * fill; absent: it does not. Bears on what a pickup is expected to find, never on the rate or on a planned visit.
   */
  readonly habitSpread?: number;
};

/** θ (kg per exposure-week) ~ InvGamma(a, b), as of `asOf`. E θ = b / (a - 1). */
export type RateState = {
  readonly a: number;
  readonly b: Kg;
  readonly asOf: Instant;
};

/**
 * When film accrues. `weekdayWeight[0]` is Monday; the seven sum to 1 for a normal week ("exposure-week").
 * Days in `closedDays` (sorted) accrue nothing. Days start at local midnight in `zone`.
 */
export type Exposure = {
  readonly zone: string;
  readonly weekdayWeight: readonly number[];
  readonly closedDays: readonly {
    readonly fromDay: LocalDay;
    readonly untilDay: LocalDay;
  }[];
  /** Twelve factors, January first; all 1 unless given or learnt. */
  readonly monthFactor: readonly number[];
};

export type KnownSurge = {
  readonly eventKind: EventKind;
  readonly startsAt: Instant;
  readonly endsAt: Instant;
  readonly expectedKg: Kg;
  /** What events of this kind were learnt to bring, against what was announced; else the model's `surgeRatio`. */
  readonly ratio?: { readonly mean: number; readonly shape: number };
};

/** What the estimate rests on, for the sentence that explains it. */
export type Basis = {
  readonly weighIns: number;
  readonly lastWeighInAt?: Instant;
  readonly declaredBagsPerWeek: number;
  readonly declaredKgPerWeek: Kg;
  /** Weigh-ins that were counted at less than half their weight, newest first, with the weight 0 to 1. */
  readonly doubted: readonly {
    readonly weighInId: string;
    readonly at: Instant;
    readonly weight: number;
  }[];
  /** Since when the level is believed to have changed, and how many times what it was it is now. */
  readonly levelChange?: { readonly at: Instant; readonly factor: number };
};

export type SiteModel = {
  readonly siteId: string;
  readonly parameters: FilterParameters;
  readonly rate: RateState;
  /** Pooled recalibration of all sites' levels (season, trend); multiplies forecasts, never fed into `rate`. 1 if absent. */
  readonly levelFactor?: number;
  readonly exposure: Exposure;
  readonly surges: readonly KnownSurge[];
  /** Ratio of actual to announced mass of a surge: mean and shape of its gamma. */
  readonly surgeRatio: { readonly mean: number; readonly shape: number };
  /** Last time the container was emptied; the fill accrues from here. */
  readonly emptiedAt: Instant;
  /** What was left behind then. */
  readonly leftKg: Kg;
  /** A donor said "full" after `emptiedAt`: the fill is at least this, as of then. */
  readonly atLeast?: { readonly kg: Kg; readonly at: Instant };
  /**
   * A donor who says so when the container holds `kg` has said nothing as of `at`, after `emptiedAt`; `missedShare` is
   * the chance of saying nothing although it does hold that. What silence says is no less than what a call says.
   */
  readonly silence?: { readonly kg: Kg; readonly at: Instant; readonly missedShare: number };
  readonly capacityKg: Kg;
  readonly capacityL: Litres;
  /** Litres that one kg takes here (1 / bulk density). */
  readonly litresPerKg: number;
  /** Mass of one bag here, learnt where bags and kg were both recorded. */
  readonly bagKg: Kg;
  /** Mean grade split, and the total of its Dirichlet (how sure). */
  readonly gradeShares: { readonly [grade in Grade]?: number };
  readonly gradeConcentration: number;
  readonly basis: Basis;
};
