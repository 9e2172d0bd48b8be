/**
 * What a workshop may set: prices of the objective, the break rule, how legs are found, opening hours for
 * unloading. Everything has a default, so that a workshop can plan on its first day; where a default comes from is
 * said to people as well (web/shared/objective-words.ts). Names and units are those of core/planning/problem.ts
 * (millionths of the currency, seconds). What a van's kilometre, a driver's hour and a bought kilogram cost stands in
 * the register, with the van, the driver and the grade.
 */
import { z } from 'zod';
import { parseHours } from '../core/calendar/opening.ts';
import { isDay, minuteOf } from '../core/calendar/zone.ts';
import type { BreakRule, DonorCalls, Prices } from '../core/planning/problem.ts';
import { SITE_KINDS } from '../core/vocabulary.ts';

const micros = z.int().min(0);
const share = z.number().min(0).max(1);
const seconds = z.int().min(0).max(86_400);

const PricesSchema = z.strictObject({
  // Time and a half of a driver at 20 an hour: common practice, no source.
  overtimeMicrosPerHour: micros.default(30_000_000),
  // Half an hour, so that one late stop does not end in a broken promise: own judgement, local rules come first.
  maxOvertimeS: seconds.default(1800),
  // Carrying a van-load of sacks to the store by hand: own judgement, to be learnt from own days.
  unloadS: seconds.default(1200),
  // Hands of the workshop that help: own judgement.
  unloadMicros: micros.default(2_000_000),
  // Overflow: methods.md B.1 suggests 10 per event, 10 per day that it lasts, 1 per kg lost.
  overflowMicros: micros.default(10_000_000),
  overflowMicrosPerDay: micros.default(10_000_000),
  overflowMicrosPerKg: micros.default(1_000_000),
  // The upper end of what B.1 suggests for a kilogram in the wrong place for a day.
  storeOverflowMicrosPerKgDay: micros.default(200_000),
  // Dearer than any detour of a day: a donor who is let down twice is lost. Own judgement.
  brokenPromiseMicros: micros.default(200_000_000),
  // About a quarter of an hour of a driver: a habit may move for a good reason only. Own judgement.
  brokenHabitMicros: micros.default(5_000_000),
  // For a visit moved today, less for later days (methods.md D: pi0 / (1 + h)). Own judgement.
  changeMicros: micros.default(6_000_000),
  // methods.md B.2 values stock at the end of the horizon up to 5 days of cover; half its buying price.
  endValueShare: share.default(0.5),
  endCoverDays: z.number().min(0).max(60).default(5),
  // Shop drop-off film, county study, Washington State 2015: 3.70 % by mass (facts.md A6).
  contaminationShare: share.default(0.037),
  // methods.md C: sites share a common factor of 5 %.
  commonSd: share.default(0.05),
}) satisfies z.ZodType<Prices>;

const BreakSchema = z.strictObject({
  // Regulation (EC) 561/2006 Art. 7: 45 min after 4 h 30. Stricter than most rules for small vans; local rules
  // come first.
  maxWorkS: seconds.min(900).default(16_200),
  breakS: seconds.default(2700),
}) satisfies z.ZodType<BreakRule>;

const CallsSchema = z.strictObject({
  // Chosen on simulated years (core/planning/README.md): what a donor with a telephone is trusted with until its own
  // calls are known; 0 counts on nobody.
  reliability: share.default(0.6),
  // Donors call when they see it getting full; the same simulated years.
  fromShare: z.number().min(0.3).max(1).default(0.8),
  // What a visit that nobody planned costs more than a planned one: own judgement.
  premiumMicros: micros.default(6_000_000),
}) satisfies z.ZodType<DonorCalls>;

const TravelSchema = z.strictObject({
  kind: z.enum(['roads', 'great-circle']).default('great-circle'),
  /** OSM XML of the area, relative to the workshop file; needed for `roads`. */
  roadsFile: z.string().min(1).optional(),
  // Road over straight line: facts.md D1 suggests 1.3 with an override for the area.
  detourFactor: z.number().min(1).max(5).default(1.3),
  // Below the 40 km/h of English local A roads (DfT 2017-2019, facts.md D2), for a van in a town.
  speedKmh: z.number().min(5).max(130).default(30),
});

/** How sites fill, as fitted over the workshop's own history (core/accumulation/fit-parameters.ts). */
const WeekdayWeights = z.array(z.number().min(0)).length(7).readonly();

export const FilterSchema = z.strictObject({
  forgetPerWeek: z.number().gt(0).max(1),
  granularityKg: z.number().min(0),
  roughness: z.number().min(0),
  perPickup: z.number().min(0).optional(),
  changePerWeek: z.number().min(0).max(1).optional(),
  roughnessSpread: z.number().positive().optional(),
  habitSpread: z.number().positive().optional(),
  /** On which weekdays film comes, by kind of site and by site: seven weights from Monday on. */
  weekdays: z
    .strictObject({
      byKind: z.partialRecord(z.enum(SITE_KINDS), WeekdayWeights),
      bySite: z.record(z.string(), WeekdayWeights),
    })
    .optional(),
  /** How many pickups it was fitted on; a tenth more, and it is fitted again. */
  pickups: z.int().min(0),
});

const clockText = z
  .string()
  .refine((text) => minuteOf(text) !== undefined, { error: 'write a time such as 20:00' });

/** Word to people, by e-mail. */
const WordSchema = z.strictObject({
  /** Where the workshop itself is told of exceptions, and where answers go; empty when nowhere. */
  email: z.union([z.literal(''), z.email({ error: 'write an e-mail address' })]).default(''),
  // Nobody is written to at night. Own judgement.
  quietFrom: clockText.default('20:00'),
  quietUntil: clockText.default('07:00'),
  // What happens within this long goes in one mail. Own judgement.
  gatherS: seconds.max(86_400).default(600),
  /** When those who want one mail a day get it, and reminders of tomorrow are written. */
  digestAt: clockText.default('16:00'),
});

export const SettingsSchema = z.strictObject({
  prices: PricesSchema.prefault({}),
  breakRule: BreakSchema.prefault({}),
  /** What donors who see their container getting full are trusted to say. */
  calls: CallsSchema.prefault({}),
  // A van that fills early comes home and unloads, so room kept free is mostly wasted: 7 % fewer km than at 0.8 in
  // simulated years. Those plan at 0.35, for nobody there minds a visit that was announced and not made; where people
  // do, a van should be full early no more often than not (core/simulation/README.md).
  loadQuantile: z.number().min(0.2).max(0.999).default(0.5),
  travel: TravelSchema.prefault({}),
  /** When the workshop takes a load; the text that sites use. */
  unloadHours: z
    .string()
    .refine((text) => parseHours(text).ok, { error: 'write hours such as "mo-fr 07:00-18:00"' })
    .default('mo-fr 07:00-18:00; sa 08:00-13:00'),
  // A week: what a coordinator prints and pins up.
  horizonDays: z.int().min(1).max(28).default(7),
  // Near the long-run result for a few dozen sites in a few seconds (`npm run bench planner`).
  searchIterations: z.int().min(100).max(100_000).default(4000),
  /** Absent until the history is long enough to fit it. */
  filter: FilterSchema.optional(),
  /** Whom drivers and donors call; empty when there is nobody. */
  phone: z.string().max(40).default(''),
  word: WordSchema.prefault({}),
  /**
   * Whether a change that is safe (a confirmed booking in a round's slack, a cancelled one out of it) and moves nobody
   * else's day is published without the coordinator.
   */
  publishesSmallChanges: z.boolean().default(false),
  /** The day that the demo takes for today; absent in real use. */
  demoToday: z.string().refine(isDay, { error: 'write a day such as 2026-05-04' }).optional(),
});

export type Settings = z.output<typeof SettingsSchema>;
/** Any part may be left out. */
export type SettingsInput = z.input<typeof SettingsSchema>;

export const defaultSettings = (): Settings => SettingsSchema.parse({});
