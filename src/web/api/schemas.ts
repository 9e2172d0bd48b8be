/** What goes over the wire, in zod: checked on the way in, and the source of the OpenAPI document. */
import { z } from '@hono/zod-openapi';
import { MONEY_PARTS } from '../../core/planning/plan.ts';
import {
  BOOKING_STATES,
  EVENT_KINDS,
  GRADES,
  MISSED_REASONS,
  PLAN_STATES,
  REJECT_REASONS,
} from '../../core/vocabulary.ts';
import { TABLE_KINDS } from '../../usecases/tables/columns.ts';

export const Id = z
  .string()
  .regex(/^[A-Za-z0-9_-]{1,64}$/)
  .openapi({ example: 'u0G3c2m1Qk7xTgYb' });
export const Instant = z.iso.datetime({ offset: true }).openapi({ example: '2026-06-15T07:30:00Z' });
export const Day = z.iso.date().openapi({ example: '2026-06-15' });
const kg = (about: string) => z.number().openapi({ description: `${about}, kg` });
const share = (about: string) =>
  z
    .number()
    .min(0)
    .max(1)
    .openapi({ description: `${about}, 0 to 1` });
const micros = (about: string) =>
  z.int().openapi({ description: `${about}, whole millionths of the workshop's currency` });
const Grade = z.enum(GRADES as [string, ...string[]]);

export const Problem = z
  .looseObject({
    type: z.string(),
    title: z.string(),
    status: z.int(),
    detail: z.string().optional(),
    instance: z.string().optional(),
    errors: z.array(z.object({ detail: z.string(), pointer: z.string() })).optional(),
  })
  .openapi('Problem', { description: 'RFC 9457 problem details' });

export const Workshop = z
  .looseObject({
    name: z.string(),
    zone: z.string(),
    lat: z.number(),
    lon: z.number(),
    currency: z.string(),
    store_limit_kg: kg('What the store holds'),
    film_kg_per_m3: z.number(),
    bag_kg: kg('One full bag'),
    grades: z.array(
      z.object({ grade: Grade, name: z.string(), buy_price_micros_per_kg: micros('Buying in') }),
    ),
  })
  .openapi('Workshop');

export const Fill = z
  .object({
    site_id: Id,
    key: z.string(),
    name: z.string(),
    median_kg: kg('Waiting now, median'),
    low_kg: kg('10 % quantile'),
    high_kg: kg('90 % quantile'),
    capacity_kg: kg('To the brim'),
    overflow_risk_7_days: share('Chance that it is over the brim in 7 days if nobody calls'),
    kg_per_week: kg('Mean of a normal week'),
    weigh_ins: z.int(),
    last_weigh_in_at: Instant.optional(),
  })
  .openapi('Fill');

export const ForecastPoint = z
  .object({
    at: Instant,
    low_kg: z.number(),
    median_kg: z.number(),
    high_kg: z.number(),
    beside_high_kg: kg('What may stand beside the container or be lost, 90 % quantile'),
    overflow_risk: share('Over the brim'),
  })
  .openapi('ForecastPoint');

const Money = z
  .object(Object.fromEntries(MONEY_PARTS.map((part) => [part, z.int()])))
  .openapi('Money', { description: 'By part, whole millionths of the currency' });

export const Stop = z
  .looseObject({
    id: Id.optional(),
    kind: z.enum(['site', 'unload', 'break']),
    site_id: Id.optional(),
    arrive_at: Instant,
    start_at: Instant,
    depart_at: Instant,
    leg_m: z.number(),
    leg_s: z.number(),
    expected_kg: kg('Mean of what is loaded'),
    low_kg: z.number(),
    high_kg: z.number(),
    expected_l: z.number(),
    reason: z.looseObject({ code: z.string(), overflow_risk: z.number(), worth_micros: z.int() }).optional(),
  })
  .openapi('Stop');

export const Round = z
  .looseObject({
    id: Id,
    plan_id: Id,
    shift_id: Id,
    van_id: Id,
    driver_id: Id,
    day: Day,
    start_at: Instant,
    end_at: Instant,
    distance_m: z.number(),
    load_kg: kg('Fullest trip'),
    payload_kg: z.number(),
    load_l: z.number(),
    load_space_l: z.number(),
    full_early_risk: share('Van full before the last stop, the worst trip'),
    trip_risks: z
      .array(
        z.object({
          full_early_risk: share('Full before the last stop of this trip'),
          left_behind_risk: share('Not everything fits'),
          full_by: z.enum(['payload', 'load-space']),
        }),
      )
      .optional(),
    skip_first: z.array(Id).openapi({ description: 'Leave these out first when the van is full early' }),
    stops: z.array(Stop),
  })
  .openapi('Round');

export const PlanSummary = z
  .looseObject({
    id: Id,
    state: z.enum(PLAN_STATES),
    first_day: Day,
    days: z.int(),
    seed: z.int(),
    iterations: z.int(),
    cost_micros: micros('All parts'),
    created_at: Instant,
    published_at: Instant.nullable(),
  })
  .openapi('PlanSummary');

export const Plan = PlanSummary.extend({
  rounds: z.array(Round),
  left_out: z.array(z.looseObject({ site_id: Id, code: z.string() })),
  unkept: z.array(z.looseObject({ site_id: Id, kind: z.string(), why: z.string(), mend: z.string() })),
  stock: z.array(
    z.looseObject({
      day: Day,
      grade: Grade,
      draw_kg: z.number(),
      stock_kg: z.number(),
      short_kg: z.number(),
    }),
  ),
  money: Money,
}).openapi('Plan');

export const PlanRequest = z
  .strictObject({
    first_day: Day.optional(),
    days: z.int().min(1).max(28).optional(),
    seed: z.int().min(0).max(2147483647).default(1),
    iterations: z
      .int()
      .min(0)
      .max(20000)
      .optional()
      .openapi({ description: 'Tries of the search. Absent: the workshop’s own setting' }),
  })
  .openapi('PlanRequest');

export const WeighInBody = z
  .strictObject({
    at: Instant,
    gross_kg: z.number().min(0).max(40000).optional(),
    tare_kg: z.number().min(0).max(40000).optional(),
    net_kg: z.number().min(0).max(10000).optional(),
    bags: z.number().min(0).max(10000).optional(),
    found_full: z.boolean().default(false),
    rejected_kg: z.number().min(0).max(10000).default(0),
    reject_reason: z.enum(REJECT_REASONS).optional(),
    grades: z.array(z.strictObject({ grade: Grade, kg: z.number().min(0) })).default([]),
    note: z.string().max(2000).default(''),
    replaces_id: Id.optional(),
  })
  .refine((w) => (w.gross_kg === undefined) === (w.tare_kg === undefined), {
    path: ['tare_kg'],
    error: 'gross_kg and tare_kg come together',
  })
  .refine((w) => w.net_kg !== undefined || w.gross_kg !== undefined || w.bags !== undefined || w.found_full, {
    path: ['net_kg'],
    error: 'say how much: net_kg, gross_kg with tare_kg, bags, or found_full',
  })
  .refine((w) => w.gross_kg === undefined || w.gross_kg >= (w.tare_kg ?? 0), {
    path: ['tare_kg'],
    error: 'the tare is more than the gross mass',
  })
  .refine(
    (w) =>
      w.net_kg === undefined ||
      w.gross_kg === undefined ||
      Math.abs(w.gross_kg - (w.tare_kg ?? 0) - w.net_kg) < 0.0015,
    { path: ['net_kg'], error: 'net_kg is not gross_kg less tare_kg' },
  )
  .openapi('WeighInEntry');

/** At a site that the round does not call at. */
export const PickupBody = WeighInBody.safeExtend({ site_id: Id }).openapi('PickupEntry');

export const MissedBody = z
  .strictObject({ at: Instant, reason: z.enum(MISSED_REASONS), note: z.string().max(2000).default('') })
  .openapi('MissedStopEntry');

export const TakeOfferBody = z.strictObject({ from_at: Instant }).openapi('TakeOffer');

export const BookingBody = z
  .strictObject({
    site_id: Id,
    event_kind: z.enum(EVENT_KINDS),
    event_ends_at: Instant,
    expected_bags: z.number().min(0).max(100000).optional(),
    expected_kg: z.number().min(0).max(100000).optional(),
    from_at: Instant,
    until_at: Instant,
    remarks: z.string().max(2000).default(''),
    hazards: z.string().max(500).default(''),
  })
  .refine((b) => Date.parse(b.from_at) < Date.parse(b.until_at), {
    path: ['until_at'],
    error: 'must be after from_at',
  })
  .openapi('BookingRequest');

export const Booking = z
  .looseObject({
    id: Id,
    site_id: Id,
    state: z.enum(BOOKING_STATES),
    from_at: Instant,
    until_at: Instant,
    remarks: z.string(),
    hazards: z.string(),
    requested_at: Instant,
  })
  .openapi('Booking');

export const FillReportBody = z
  .strictObject({
    site_id: Id,
    at: Instant,
    fraction: z.number().min(0).max(2).default(1).openapi({ description: '1 is full to the brim' }),
  })
  .openapi('FillReport');

export const StockNow = z
  .object({ day: Day, grades: z.array(z.object({ grade: Grade, stock_kg: z.number() })) })
  .openapi('Stock');

export const Need = z
  .object({
    days: z.array(z.object({ day: Day, grades: z.array(z.object({ grade: Grade, draw_kg: z.number() })) })),
    cover: z.array(
      z.object({
        grade: Grade,
        cover_days: z
          .int()
          .nullable()
          .openapi({ description: 'null: longer than production is planned for' }),
      }),
    ),
  })
  .openapi('Need');

export const JournalEntry = z
  .object({
    seq: z.int(),
    at: Instant,
    kind: z.string(),
    subject: z.string(),
    actor: z.string(),
    facts: z.unknown(),
  })
  .openapi('JournalEntry');

export const TableKind = z.enum(TABLE_KINDS as [string, ...string[]]);
export const TableRow = z.record(z.string(), z.union([z.string(), z.number(), z.boolean(), z.null()]));
export const TableRows = z.object({ rows: z.array(TableRow) }).openapi('TableRows');
export const TableBody = z
  .strictObject({ rows: z.array(TableRow).min(1).max(5000), dry_run: z.boolean().default(false) })
  .openapi('TableImport');
export const TableReport = z
  .looseObject({ rows: z.int(), added: z.int(), changed: z.int(), unchanged: z.int(), is_kept: z.boolean() })
  .openapi('TableReport');
export const Doubt = z
  .object({
    weigh_in_id: Id,
    site_id: Id,
    at: Instant,
    kg: kg('What the estimate takes it for'),
    low_kg: kg('10 % quantile of what was expected just before'),
    high_kg: kg('90 % quantile of what was expected just before'),
    weight: share('How much it counts in the estimate'),
  })
  .openapi('Doubt');

const Coverage = z.object({
  p50: share('Held by the 50 % interval'),
  p80: share('Held by the 80 % interval'),
  p95: share('Held by the 95 % interval'),
});
const scoreFields = {
  evaluated: z.int().openapi({ description: 'Pickups scored' }),
  coverage: Coverage,
  crps: kg('Continuous ranked probability score'),
  mae: kg('Mean absolute error of the expected pickup'),
  bias: z.number().openapi({ description: 'Sum of forecasts over sum of weighed, less one' }),
  mean_kg: kg('A pickup, on average'),
};
const Rule = z.object({ crps: z.number(), mae: z.number() });
export const Backtest = z
  .looseObject({
    series: z.int().openapi({ description: 'Sites scored' }),
    ...scoreFields,
    pit: z.array(z.number()).openapi({ description: 'Ten bins of the probability integral transform' }),
    baselines: z.looseObject({
      last_value: Rule,
      moving_average: Rule,
      smoothed_rate: Rule,
      declared: Rule,
    }),
    by_site: z.array(z.looseObject({ site_id: Id, ...scoreFields })),
    pickups: z.int().openapi({ description: 'Pickups in the whole history' }),
  })
  .openapi('Backtest');

export const Made = z.object({ id: Id }).openapi('Made');

export const Slot = z
  .looseObject({
    day: z.string(),
    from_at: Instant,
    until_at: Instant,
    start_at: Instant,
    extra_m: z.number(),
    extra_s: z.number(),
    extra_micros: z.number(),
    is_coming_anyway: z.boolean(),
    is_on_our_way: z.boolean(),
  })
  .openapi('Slot');
export const Quote = z
  .looseObject({ id: Id, site_id: Id, expires_at: Instant, slots: z.array(Slot) })
  .openapi('Quote');
export const TakenOffer = z
  .strictObject({ id: Id, state: z.enum(BOOKING_STATES), from_at: Instant, until_at: Instant })
  .openapi('TakenOffer');
