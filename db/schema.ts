/**
 * The whole data model. Conventions:
 * - ids are opaque, URL-safe text; `external_key` is the user's own stable key, which makes imports repeatable;
 * - mass is whole grams (`_g`), so that ledgers sum exactly; the store turns it into kg at its border;
 * - money is whole millionths of the workshop's currency (`_micros`); instants are epoch seconds UTC (`_at`);
 *   durations are seconds (`_s`); local days are `YYYY-MM-DD` (`_day`); times of day are minutes (`_minute`);
 * - every table is STRICT (see .config/migration.ts) and what must hold is a CHECK.
 */
import { sql } from 'drizzle-orm';
import {
  check,
  index,
  integer,
  primaryKey,
  real,
  type SQLiteColumn,
  sqliteTable,
  text,
  unique,
  uniqueIndex,
} from 'drizzle-orm/sqlite-core';
import {
  BOOKING_STATES,
  COMMITMENTS,
  CONTAINER_KINDS,
  EVENT_KINDS,
  MISSED_REASONS,
  PLAN_STATES,
  REJECT_REASONS,
  ROLES,
  ROUND_MARKS,
  SITE_KINDS,
  STOCK_KINDS,
  UNSAID_REASONS,
  WEIGH_METHODS,
  WORD_CHOICES,
  WORTH_OUTCOMES,
} from '../src/core/vocabulary.ts';

const flag = (name: string) => integer(name, { mode: 'boolean' });
const oneOf = (column: SQLiteColumn, values: readonly string[]) =>
  sql`${column} IN (${sql.raw(values.map((v) => `'${v}'`).join(', '))})`;
const isDay = (column: SQLiteColumn) => sql`${column} GLOB '[0-9][0-9][0-9][0-9]-[0-1][0-9]-[0-3][0-9]'`;

// ---- the workshop and what it makes -------------------------------------------------------------------

/** One row. `settings` holds prices, quantiles and break rules, checked by zod on the way in and out. */
export const workshop = sqliteTable(
  'workshop',
  {
    id: text('id').primaryKey(),
    name: text('name').notNull(),
    zone: text('zone').notNull(),
    lat: real('lat').notNull(),
    lon: real('lon').notNull(),
    address: text('address').notNull().default(''),
    currency: text('currency').notNull(),
    storeLimitG: integer('store_limit_g').notNull(),
    filmGPerL: real('film_g_per_l').notNull(),
    bagG: real('bag_g').notNull(),
    settings: text('settings', { mode: 'json' }).$type<unknown>().notNull(),
  },
  (t) => [
    check('workshop_single', sql`${t.id} = 'workshop'`),
    check('workshop_position', sql`${t.lat} BETWEEN -90 AND 90 AND ${t.lon} BETWEEN -180 AND 180`),
    check('workshop_amounts', sql`${t.storeLimitG} > 0 AND ${t.filmGPerL} > 0 AND ${t.bagG} > 0`),
  ],
);

/** Maps that the workshop works with, kept whole so that one file is a whole backup: roads, river, districts. */
export const mapLayers = sqliteTable(
  'map_layers',
  {
    name: text('name').primaryKey(),
    format: text('format', { enum: ['osm-xml', 'geojson'] }).notNull(),
    content: text('content').notNull(),
  },
  (t) => [check('map_layers_format', oneOf(t.format, ['osm-xml', 'geojson']))],
);

export const grades = sqliteTable('grades', {
  grade: text('grade').primaryKey(),
  name: text('name').notNull(),
  buyPriceMicrosPerKg: integer('buy_price_micros_per_kg').notNull(),
});

export const products = sqliteTable(
  'products',
  {
    id: text('id').primaryKey(),
    externalKey: text('external_key').notNull().unique(),
    name: text('name').notNull(),
    /** Film that goes into the press for one unit, before yield. */
    filmGPerUnit: integer('film_g_per_unit').notNull(),
    /** Finished mass over film used; the rest is off-cuts and loss. */
    yieldShare: real('yield_share').notNull(),
    /** Part of the off-cuts that comes back as stock. */
    offCutReturnShare: real('off_cut_return_share').notNull(),
  },
  (t) => [
    check('products_film', sql`${t.filmGPerUnit} > 0`),
    check('products_yield', sql`${t.yieldShare} > 0 AND ${t.yieldShare} <= 1`),
    check('products_off_cut', sql`${t.offCutReturnShare} BETWEEN 0 AND 1`),
  ],
);

export const productGrades = sqliteTable(
  'product_grades',
  {
    productId: text('product_id')
      .notNull()
      .references(() => products.id, { onDelete: 'cascade' }),
    grade: text('grade')
      .notNull()
      .references(() => grades.grade),
    share: real('share').notNull(),
  },
  (t) => [
    primaryKey({ columns: [t.productId, t.grade] }),
    check('product_grades_share', sql`${t.share} > 0 AND ${t.share} <= 1`),
  ],
);

export const productionDays = sqliteTable(
  'production_days',
  {
    productId: text('product_id')
      .notNull()
      .references(() => products.id, { onDelete: 'cascade' }),
    day: text('day').notNull(),
    units: integer('units').notNull(),
    /** Set once the run has been taken from stock. */
    doneAt: integer('done_at'),
  },
  (t) => [
    primaryKey({ columns: [t.day, t.productId] }),
    check('production_days_day', isDay(t.day)),
    check('production_days_units', sql`${t.units} >= 0`),
  ],
);

// ---- the donor register --------------------------------------------------------------------------------

export const donors = sqliteTable('donors', {
  id: text('id').primaryKey(),
  externalKey: text('external_key').notNull().unique(),
  name: text('name').notNull(),
});

export const contacts = sqliteTable(
  'contacts',
  {
    id: text('id').primaryKey(),
    donorId: text('donor_id')
      .notNull()
      .references(() => donors.id, { onDelete: 'cascade' }),
    /** Whom to ask at this place; null is the donor's office. */
    siteId: text('site_id').references((): SQLiteColumn => sites.id, { onDelete: 'cascade' }),
    position: integer('position').notNull(),
    name: text('name').notNull(),
    phone: text('phone').notNull().default(''),
    email: text('email').notNull().default(''),
  },
  (t) => [index('contacts_donor').on(t.donorId), index('contacts_site').on(t.siteId)],
);

export const sites = sqliteTable(
  'sites',
  {
    id: text('id').primaryKey(),
    externalKey: text('external_key').notNull().unique(),
    donorId: text('donor_id')
      .notNull()
      .references(() => donors.id),
    name: text('name').notNull(),
    kind: text('kind', { enum: SITE_KINDS }).notNull(),
    lat: real('lat').notNull(),
    lon: real('lon').notNull(),
    address: text('address').notNull().default(''),
    district: text('district').notNull().default(''),
    accessNotes: text('access_notes').notNull().default(''),
    /** Cautions for whoever lifts: stairs, sharps seen before, heavy sacks. */
    handlingNotes: text('handling_notes').notNull().default(''),
    serviceS: integer('service_s').notNull(),
    declaredBagsPerWeek: real('declared_bags_per_week').notNull(),
    /** Mass of one bag (sack) here; null means the workshop's own figure. */
    bagG: real('bag_g'),
    activeFromDay: text('active_from_day'),
    activeUntilDay: text('active_until_day'),
    /** When it came into the register. */
    registeredAt: integer('registered_at').notNull(),
  },
  (t) => [
    index('sites_donor').on(t.donorId),
    check('sites_kind', oneOf(t.kind, SITE_KINDS)),
    check('sites_position', sql`${t.lat} BETWEEN -90 AND 90 AND ${t.lon} BETWEEN -180 AND 180`),
    check(
      'sites_amounts',
      sql`${t.serviceS} >= 0 AND ${t.declaredBagsPerWeek} >= 0 AND (${t.bagG} IS NULL OR ${t.bagG} > 0)`,
    ),
  ],
);

export const containers = sqliteTable(
  'containers',
  {
    id: text('id').primaryKey(),
    siteId: text('site_id')
      .notNull()
      .references(() => sites.id, { onDelete: 'cascade' }),
    kind: text('kind', { enum: CONTAINER_KINDS }).notNull(),
    count: integer('count').notNull(),
    litresEach: real('litres_each').notNull(),
    fromDay: text('from_day'),
    untilDay: text('until_day'),
  },
  (t) => [
    index('containers_site').on(t.siteId),
    check('containers_kind', oneOf(t.kind, CONTAINER_KINDS)),
    check('containers_amounts', sql`${t.count} > 0 AND ${t.litresEach} > 0`),
  ],
);

/** Weekly hours in which a van may call. A day may have several windows; a site without rows is always open. */
export const openingHours = sqliteTable(
  'opening_hours',
  {
    siteId: text('site_id')
      .notNull()
      .references(() => sites.id, { onDelete: 'cascade' }),
    /** ISO 8601: 1 is Monday, 7 is Sunday. */
    weekday: integer('weekday').notNull(),
    opensMinute: integer('opens_minute').notNull(),
    closesMinute: integer('closes_minute').notNull(),
  },
  (t) => [
    primaryKey({ columns: [t.siteId, t.weekday, t.opensMinute] }),
    check('opening_hours_weekday', sql`${t.weekday} BETWEEN 1 AND 7`),
    check(
      'opening_hours_order',
      sql`${t.opensMinute} >= 0 AND ${t.opensMinute} < ${t.closesMinute} AND ${t.closesMinute} <= 1440`,
    ),
  ],
);

/** Days on which nobody is there (both ends included). */
export const closures = sqliteTable(
  'closures',
  {
    id: text('id').primaryKey(),
    siteId: text('site_id')
      .notNull()
      .references(() => sites.id, { onDelete: 'cascade' }),
    fromDay: text('from_day').notNull(),
    untilDay: text('until_day').notNull(),
    reason: text('reason').notNull().default(''),
  },
  (t) => [
    unique('closures_span').on(t.siteId, t.fromDay, t.untilDay),
    check(
      'closures_days',
      sql`${isDay(t.fromDay)} AND ${isDay(t.untilDay)} AND ${t.fromDay} <= ${t.untilDay}`,
    ),
  ],
);

/** Expected grade split of a site, before its own weigh-ins speak. */
export const siteGrades = sqliteTable(
  'site_grades',
  {
    siteId: text('site_id')
      .notNull()
      .references(() => sites.id, { onDelete: 'cascade' }),
    grade: text('grade')
      .notNull()
      .references(() => grades.grade),
    share: real('share').notNull(),
  },
  (t) => [
    primaryKey({ columns: [t.siteId, t.grade] }),
    check('site_grades_share', sql`${t.share} > 0 AND ${t.share} <= 1`),
  ],
);

/** RFC 5545 recurrence, read in the workshop's zone. `exceptDays`/`extraDays` are EXDATE and RDATE as local days. */
export const pickupRules = sqliteTable(
  'pickup_rules',
  {
    id: text('id').primaryKey(),
    siteId: text('site_id')
      .notNull()
      .references(() => sites.id, { onDelete: 'cascade' }),
    rrule: text('rrule').notNull(),
    /** Local wall time of the first instance, `YYYY-MM-DDTHH:MM`: DTSTART without a zone. */
    startsLocal: text('starts_local').notNull(),
    windowS: integer('window_s').notNull(),
    commitment: text('commitment', { enum: COMMITMENTS }).notNull(),
    exceptDays: text('except_days', { mode: 'json' }).$type<readonly string[]>().notNull(),
    extraDays: text('extra_days', { mode: 'json' }).$type<readonly string[]>().notNull(),
  },
  (t) => [
    index('pickup_rules_site').on(t.siteId),
    check('pickup_rules_commitment', oneOf(t.commitment, COMMITMENTS)),
    check('pickup_rules_window', sql`${t.windowS} > 0 AND ${t.windowS} <= 86400`),
  ],
);

export const surges = sqliteTable(
  'surges',
  {
    id: text('id').primaryKey(),
    externalKey: text('external_key').notNull().unique(),
    siteId: text('site_id')
      .notNull()
      .references(() => sites.id, { onDelete: 'cascade' }),
    eventKind: text('event_kind', { enum: EVENT_KINDS }).notNull(),
    name: text('name').notNull().default(''),
    startsAt: integer('starts_at').notNull(),
    endsAt: integer('ends_at').notNull(),
    expectedBags: real('expected_bags').notNull(),
    announcedAt: integer('announced_at').notNull(),
    cancelledAt: integer('cancelled_at'),
  },
  (t) => [
    index('surges_site').on(t.siteId, t.endsAt),
    check('surges_kind', oneOf(t.eventKind, EVENT_KINDS)),
    check('surges_amounts', sql`${t.expectedBags} > 0 AND ${t.startsAt} <= ${t.endsAt}`),
  ],
);

export const bookings = sqliteTable(
  'bookings',
  {
    id: text('id').primaryKey(),
    siteId: text('site_id')
      .notNull()
      .references(() => sites.id),
    state: text('state', { enum: BOOKING_STATES }).notNull(),
    fromAt: integer('from_at').notNull(),
    untilAt: integer('until_at').notNull(),
    surgeId: text('surge_id').references(() => surges.id),
    remarks: text('remarks').notNull().default(''),
    /** Anything sharp, wet or unknown that the driver must hear about; empty means asked and none. */
    hazards: text('hazards').notNull().default(''),
    requestedAt: integer('requested_at').notNull(),
    requestedBy: text('requested_by').notNull(),
    idempotencyKey: text('idempotency_key').unique(),
  },
  (t) => [
    index('bookings_site').on(t.siteId),
    check('bookings_state', oneOf(t.state, BOOKING_STATES)),
    check('bookings_window', sql`${t.fromAt} < ${t.untilAt}`),
  ],
);

/** What was offered for an extra collection, and until when that holds; `bookingId` once it was taken. */
export const quotes = sqliteTable(
  'quotes',
  {
    id: text('id').primaryKey(),
    siteId: text('site_id')
      .notNull()
      .references(() => sites.id),
    askedBy: text('asked_by').notNull(),
    askedAt: integer('asked_at').notNull(),
    expiresAt: integer('expires_at').notNull(),
    /** The booking that would be changed. */
    changesId: text('changes_id').references(() => bookings.id),
    wanted: text('wanted', { mode: 'json' }).$type<unknown>().notNull(),
    slots: text('slots', { mode: 'json' }).$type<unknown>().notNull(),
    bookingId: text('booking_id').references(() => bookings.id),
    /** The Idempotency-Key it was taken with. */
    factId: text('fact_id').unique(),
  },
  (t) => [index('quotes_asked').on(t.askedAt), check('quotes_hold', sql`${t.askedAt} < ${t.expiresAt}`)],
);

// ---- what was found ------------------------------------------------------------------------------------

export const loadWeighIns = sqliteTable(
  'load_weigh_ins',
  {
    id: text('id').primaryKey(),
    externalKey: text('external_key').notNull().unique(),
    at: integer('at').notNull(),
    netG: integer('net_g').notNull(),
    roundId: text('round_id').references(() => rounds.id),
    recordedBy: text('recorded_by').notNull(),
    recordedAt: integer('recorded_at').notNull(),
  },
  (t) => [check('load_weigh_ins_net', sql`${t.netG} >= 0`)],
);

/**
 * One pickup. At least one of net mass, bags or "found full" is known. A correction is a new row that points at
 * the row it replaces; the replaced row stays.
 */
export const weighIns = sqliteTable(
  'weigh_ins',
  {
    id: text('id').primaryKey(),
    externalKey: text('external_key').notNull().unique(),
    siteId: text('site_id')
      .notNull()
      .references(() => sites.id),
    at: integer('at').notNull(),
    netG: integer('net_g'),
    grossG: integer('gross_g'),
    tareG: integer('tare_g'),
    bags: real('bags'),
    foundFull: flag('found_full').notNull(),
    /** Part of the net that was refused or thrown out. */
    rejectedG: integer('rejected_g').notNull(),
    rejectReason: text('reject_reason', { enum: REJECT_REASONS }),
    /** What did not fit in the van and stayed; null where nobody said. */
    leftG: integer('left_g'),
    method: text('method', { enum: WEIGH_METHODS }).notNull(),
    stopId: text('stop_id').references(() => stops.id),
    loadWeighInId: text('load_weigh_in_id').references(() => loadWeighIns.id),
    replacesId: text('replaces_id')
      .unique()
      .references((): SQLiteColumn => weighIns.id),
    note: text('note').notNull().default(''),
    recordedBy: text('recorded_by').notNull(),
    recordedAt: integer('recorded_at').notNull(),
  },
  (t) => [
    index('weigh_ins_site').on(t.siteId, t.at),
    index('weigh_ins_stop').on(t.stopId),
    check('weigh_ins_method', oneOf(t.method, WEIGH_METHODS)),
    check('weigh_ins_known', sql`${t.netG} IS NOT NULL OR ${t.bags} IS NOT NULL OR ${t.foundFull} = 1`),
    check(
      'weigh_ins_amounts',
      sql`(${t.netG} IS NULL OR ${t.netG} >= 0) AND (${t.bags} IS NULL OR ${t.bags} >= 0) AND ${t.rejectedG} >= 0 AND (${t.leftG} IS NULL OR ${t.leftG} >= 0)`,
    ),
    check(
      'weigh_ins_scale',
      sql`${t.grossG} IS NULL OR ${t.tareG} IS NULL OR ${t.netG} = ${t.grossG} - ${t.tareG}`,
    ),
  ],
);

/** Sorted mass by grade of one weigh-in; absent when nobody looked. */
export const weighInGrades = sqliteTable(
  'weigh_in_grades',
  {
    weighInId: text('weigh_in_id')
      .notNull()
      .references(() => weighIns.id, { onDelete: 'cascade' }),
    grade: text('grade')
      .notNull()
      .references(() => grades.grade),
    g: integer('g').notNull(),
  },
  (t) => [primaryKey({ columns: [t.weighInId, t.grade] }), check('weigh_in_grades_g', sql`${t.g} >= 0`)],
);

/**
 * A person has looked at an odd weigh-in and says that its figure is right. Of this row alone: a correction is
 * another row, and must be looked at anew.
 */
export const weighInConfirmations = sqliteTable('weigh_in_confirmations', {
  weighInId: text('weigh_in_id')
    .primaryKey()
    .references(() => weighIns.id, { onDelete: 'cascade' }),
  confirmedBy: text('confirmed_by').notNull(),
  confirmedAt: integer('confirmed_at').notNull(),
});

/** A stop that was not collected: no information about the fill, unless there was nothing. */
export const missedStops = sqliteTable(
  'missed_stops',
  {
    id: text('id').primaryKey(),
    siteId: text('site_id')
      .notNull()
      .references(() => sites.id),
    stopId: text('stop_id')
      .unique()
      .references(() => stops.id),
    at: integer('at').notNull(),
    reason: text('reason', { enum: MISSED_REASONS }).notNull(),
    note: text('note').notNull().default(''),
    recordedBy: text('recorded_by').notNull(),
    recordedAt: integer('recorded_at').notNull(),
  },
  (t) => [
    index('missed_stops_site').on(t.siteId, t.at),
    check('missed_stops_reason', oneOf(t.reason, MISSED_REASONS)),
  ],
);

/** What a donor says about the container: 1 is full to the brim. */
export const fillReports = sqliteTable(
  'fill_reports',
  {
    id: text('id').primaryKey(),
    siteId: text('site_id')
      .notNull()
      .references(() => sites.id),
    at: integer('at').notNull(),
    fraction: real('fraction').notNull(),
    reportedBy: text('reported_by').notNull(),
  },
  (t) => [
    index('fill_reports_site').on(t.siteId, t.at),
    check('fill_reports_fraction', sql`${t.fraction} >= 0 AND ${t.fraction} <= 2`),
  ],
);

/** The stock ledger: rows are only ever added; stock is their sum. */
export const stockMovements = sqliteTable(
  'stock_movements',
  {
    id: text('id').primaryKey(),
    /** Of movements that people keep themselves; what follows from a weigh-in has none. */
    externalKey: text('external_key').unique(),
    at: integer('at').notNull(),
    day: text('day').notNull(),
    grade: text('grade')
      .notNull()
      .references(() => grades.grade),
    kind: text('kind', { enum: STOCK_KINDS }).notNull(),
    g: integer('g').notNull(),
    weighInId: text('weigh_in_id').references(() => weighIns.id),
    productId: text('product_id').references(() => products.id),
    note: text('note').notNull().default(''),
  },
  (t) => [
    index('stock_movements_grade').on(t.grade, t.day),
    index('stock_movements_weigh_in').on(t.weighInId),
    check('stock_movements_kind', oneOf(t.kind, STOCK_KINDS)),
    check('stock_movements_day', isDay(t.day)),
    check(
      'stock_movements_sign',
      // A corrected weigh-in takes back what the first one booked, kind by kind: both signs.
      sql`CASE WHEN ${t.kind} IN ('production', 'sold', 'disposed') THEN ${t.g} <= 0 WHEN ${t.kind} IN ('correction', 'collected', 'rejected') THEN 1 ELSE ${t.g} >= 0 END`,
    ),
  ],
);

// ---- vans, drivers, shifts -----------------------------------------------------------------------------

export const vans = sqliteTable(
  'vans',
  {
    id: text('id').primaryKey(),
    externalKey: text('external_key').notNull().unique(),
    name: text('name').notNull(),
    /** From the VIN plate: permitted laden mass less kerb mass, driver and fuel. */
    payloadG: integer('payload_g').notNull(),
    loadSpaceL: real('load_space_l').notNull(),
    costMicrosPerKm: integer('cost_micros_per_km').notNull(),
    offRoadFromAt: integer('off_road_from_at'),
    /** The next safety check, by law or by the workshop's own rule. */
    checkDueDay: text('check_due_day'),
  },
  (t) => [
    check('vans_amounts', sql`${t.payloadG} > 0 AND ${t.loadSpaceL} > 0 AND ${t.costMicrosPerKm} >= 0`),
  ],
);

export const drivers = sqliteTable(
  'drivers',
  {
    id: text('id').primaryKey(),
    externalKey: text('external_key').notNull().unique(),
    name: text('name').notNull(),
    costMicrosPerHour: integer('cost_micros_per_hour').notNull(),
    email: text('email').notNull().default(''),
  },
  (t) => [check('drivers_cost', sql`${t.costMicrosPerHour} >= 0`)],
);

/** One driver's hours with one van on one local day. The break rule is the workshop's (settings). */
export const shifts = sqliteTable(
  'shifts',
  {
    id: text('id').primaryKey(),
    externalKey: text('external_key').notNull().unique(),
    vanId: text('van_id')
      .notNull()
      .references(() => vans.id),
    driverId: text('driver_id')
      .notNull()
      .references(() => drivers.id),
    day: text('day').notNull(),
    startsMinute: integer('starts_minute').notNull(),
    endsMinute: integer('ends_minute').notNull(),
    cancelledAt: integer('cancelled_at'),
  },
  (t) => [
    index('shifts_day').on(t.day),
    check('shifts_day_form', isDay(t.day)),
    check(
      'shifts_order',
      sql`${t.startsMinute} >= 0 AND ${t.startsMinute} < ${t.endsMinute} AND ${t.endsMinute} <= 1440`,
    ),
  ],
);

// ---- plans: immutable versions -------------------------------------------------------------------------

export const plans = sqliteTable(
  'plans',
  {
    id: text('id').primaryKey(),
    state: text('state', { enum: PLAN_STATES }).notNull(),
    firstDay: text('first_day').notNull(),
    days: integer('days').notNull(),
    seed: integer('seed').notNull(),
    iterations: integer('iterations').notNull(),
    /** SHA-256 of the planner's input, to say "planned on other facts than today's". */
    inputHash: text('input_hash').notNull(),
    costMicros: integer('cost_micros').notNull(),
    /** The plan as the core made it (src/core/planning/plan.ts), reasons and money by part included. */
    body: text('body', { mode: 'json' }).$type<unknown>().notNull(),
    /** The plan that this one was changed from by hand; null where the planner made it, or where that one is gone. */
    baseId: text('base_id').references((): SQLiteColumn => plans.id, { onDelete: 'set null' }),
    /** What was changed by hand, in order (src/core/planning/changes.ts); null where the planner made it. */
    changes: text('changes', { mode: 'json' }).$type<unknown>(),
    /** What was fixed by hand and stays with the plan: pins and who drives; null for nothing. */
    wishes: text('wishes', { mode: 'json' }).$type<unknown>(),
    createdAt: integer('created_at').notNull(),
    publishedAt: integer('published_at'),
    supersededAt: integer('superseded_at'),
  },
  (t) => [
    index('plans_state').on(t.state, t.createdAt),
    uniqueIndex('plans_one_published').on(t.state).where(sql`state = 'published'`),
    check('plans_state_word', oneOf(t.state, PLAN_STATES)),
    check('plans_days', sql`${isDay(t.firstDay)} AND ${t.days} BETWEEN 1 AND 60`),
  ],
);

export const rounds = sqliteTable(
  'rounds',
  {
    id: text('id').primaryKey(),
    planId: text('plan_id')
      .notNull()
      .references(() => plans.id, { onDelete: 'cascade' }),
    shiftId: text('shift_id')
      .notNull()
      .references(() => shifts.id),
    vanId: text('van_id')
      .notNull()
      .references(() => vans.id),
    driverId: text('driver_id')
      .notNull()
      .references(() => drivers.id),
    day: text('day').notNull(),
    startsAt: integer('starts_at').notNull(),
    endsAt: integer('ends_at').notNull(),
    distanceM: integer('distance_m').notNull(),
    costMicros: integer('cost_micros').notNull(),
  },
  (t) => [
    unique('rounds_shift').on(t.planId, t.shiftId),
    check('rounds_order', sql`${t.startsAt} <= ${t.endsAt} AND ${t.distanceM} >= 0`),
  ],
);

export const stops = sqliteTable(
  'stops',
  {
    id: text('id').primaryKey(),
    roundId: text('round_id')
      .notNull()
      .references(() => rounds.id, { onDelete: 'cascade' }),
    position: integer('position').notNull(),
    kind: text('kind', { enum: ['site', 'unload', 'break'] }).notNull(),
    siteId: text('site_id').references(() => sites.id),
    arriveAt: integer('arrive_at').notNull(),
    startAt: integer('start_at').notNull(),
    departAt: integer('depart_at').notNull(),
    expectedG: integer('expected_g').notNull(),
    expectedL: real('expected_l').notNull(),
  },
  (t) => [
    unique('stops_position').on(t.roundId, t.position),
    index('stops_site').on(t.siteId),
    check('stops_kind', oneOf(t.kind, ['site', 'unload', 'break'])),
    check('stops_site_known', sql`(${t.kind} = 'site') = (${t.siteId} IS NOT NULL)`),
    check('stops_order', sql`${t.arriveAt} <= ${t.startAt} AND ${t.startAt} <= ${t.departAt}`),
  ],
);

/** How a round goes: when its driver left, stopped for a while, went on and was done. */
export const roundMarks = sqliteTable(
  'round_marks',
  {
    id: text('id').primaryKey(),
    roundId: text('round_id')
      .notNull()
      .references(() => rounds.id),
    mark: text('mark', { enum: ROUND_MARKS }).notNull(),
    at: integer('at').notNull(),
    recordedBy: text('recorded_by').notNull(),
    recordedAt: integer('recorded_at').notNull(),
  },
  (t) => [
    index('round_marks_round').on(t.roundId, t.at),
    check('round_marks_mark', oneOf(t.mark, ROUND_MARKS)),
  ],
);

/**
 * Simulated years of a workshop of this size, under the planner and under rules of thumb. A row stands from the first
 * world that is whole; `outcome` is absent while it runs, or where the server was ended in the middle.
 */
export const worthRuns = sqliteTable(
  'worth_runs',
  {
    id: text('id').primaryKey(),
    startedAt: integer('started_at').notNull(),
    startedBy: text('started_by').notNull(),
    /** What was simulated: sizes, prices, seeds. */
    wanted: text('wanted', { mode: 'json' }).$type<unknown>().notNull(),
    /** One row a world and policy. */
    years: text('years', { mode: 'json' }).$type<unknown>().notNull(),
    tookS: integer('took_s').notNull(),
    outcome: text('outcome', { enum: WORTH_OUTCOMES }),
  },
  (t) => [
    index('worth_runs_started').on(t.startedAt),
    check('worth_runs_outcome', sql`${t.outcome} IS NULL OR ${oneOf(t.outcome, WORTH_OUTCOMES)}`),
    check('worth_runs_took', sql`${t.tookS} >= 0`),
  ],
);

/** What somebody asked for who is no donor yet; the coordinator answers by phone or mail. */
export const placeRequests = sqliteTable(
  'place_requests',
  {
    id: text('id').primaryKey(),
    name: text('name').notNull(),
    contact: text('contact').notNull(),
    place: text('place').notNull(),
    eventKind: text('event_kind', { enum: EVENT_KINDS }).notNull(),
    eventEndsAt: integer('event_ends_at').notNull(),
    expectedBags: real('expected_bags').notNull(),
    untilDay: text('until_day').notNull(),
    remarks: text('remarks').notNull().default(''),
    requestedAt: integer('requested_at').notNull(),
    answeredAt: integer('answered_at'),
    answeredBy: text('answered_by'),
  },
  (t) => [
    index('place_requests_open').on(t.answeredAt, t.requestedAt),
    check('place_requests_event', oneOf(t.eventKind, EVENT_KINDS)),
    check('place_requests_bags', sql`${t.expectedBags} > 0`),
    check('place_requests_until', isDay(t.untilDay)),
  ],
);

// ---- what happened, who may, what is to be said --------------------------------------------------------

/** Append-only. Written in the same transaction as the state that it tells of. */
export const journal = sqliteTable(
  'journal',
  {
    seq: integer('seq').primaryKey({ autoIncrement: true }),
    at: integer('at').notNull(),
    kind: text('kind').notNull(),
    /** What it is about, `site:abc`, `plan:def`: reactions keep order within a subject. */
    subject: text('subject').notNull(),
    actor: text('actor').notNull(),
    facts: text('facts', { mode: 'json' }).$type<unknown>().notNull(),
  },
  (t) => [index('journal_subject').on(t.subject, t.seq)],
);

/**
 * What the estimator learnt of each site, so that it goes on from there. Made of the evidence alone and thrown away
 * whenever it does not fit: never a source of truth.
 */
export const siteStates = sqliteTable('site_states', {
  siteId: text('site_id')
    .primaryKey()
    .references(() => sites.id, { onDelete: 'cascade' }),
  record: text('record', { mode: 'json' }).$type<unknown>().notNull(),
});

/** What all sites share of it, and the place in the journal that it had taken in: one row. */
export const pooledState = sqliteTable(
  'pooled_state',
  {
    id: integer('id').primaryKey(),
    seq: integer('seq').notNull(),
    record: text('record', { mode: 'json' }).$type<unknown>().notNull(),
  },
  (t) => [check('pooled_state_one', sql`${t.id} = 1`)],
);

export const reactionCursors = sqliteTable('reaction_cursors', {
  reaction: text('reaction').primaryKey(),
  seq: integer('seq').notNull(),
});

/**
 * Entries behind a reaction's cursor that it has not dealt with: it failed on them, or they wait behind one of the
 * same subject on which it failed. Without `nextAt` it has given up and a person must look.
 */
export const parkedReactions = sqliteTable(
  'parked_reactions',
  {
    reaction: text('reaction').notNull(),
    seq: integer('seq')
      .notNull()
      .references(() => journal.seq),
    subject: text('subject').notNull().default(''),
    attempts: integer('attempts').notNull(),
    nextAt: integer('next_at'),
    error: text('error').notNull(),
  },
  (t) => [
    primaryKey({ columns: [t.reaction, t.seq] }),
    index('parked_reactions_subject').on(t.reaction, t.subject, t.seq),
  ],
);

/**
 * Word to people. A row is one thing to be said; a mail says one or several. `mailId` is given, in a transaction,
 * before a mail is handed over: a mail that may or may not have gone out goes again under the same Message-ID.
 */
export const outbox = sqliteTable(
  'outbox',
  {
    id: text('id').primaryKey(),
    /** An address in small letters; empty where nobody gave one, and then `unsaid` says so. */
    recipient: text('recipient').notNull(),
    /** Who is meant: `donor:abc`, `driver:def`, `coordinator:workshop`. */
    person: text('person').notNull().default(''),
    template: text('template').notNull(),
    facts: text('facts', { mode: 'json' }).$type<unknown>().notNull(),
    createdAt: integer('created_at').notNull(),
    notBeforeAt: integer('not_before_at').notNull(),
    mailId: text('mail_id'),
    leasedUntilAt: integer('leased_until_at'),
    attempts: integer('attempts').notNull().default(0),
    sentAt: integer('sent_at'),
    /** Given up after many tries; a person may have it tried again. */
    parkedAt: integer('parked_at'),
    /** Why it will never be sent. */
    unsaid: text('unsaid', { enum: UNSAID_REASONS }),
    error: text('error'),
  },
  (t) => [
    index('outbox_due').on(t.sentAt, t.notBeforeAt),
    index('outbox_recipient').on(t.recipient, t.createdAt),
    check('outbox_unsaid', sql`${t.unsaid} IS NULL OR ${oneOf(t.unsaid, UNSAID_REASONS)}`),
  ],
);

/** What an address wants to be told; without a row, what its role is told usually. */
export const wordChoices = sqliteTable(
  'word_choices',
  {
    address: text('address').primaryKey(),
    choice: text('choice', { enum: WORD_CHOICES }).notNull(),
    remindDayBefore: flag('remind_day_before').notNull(),
    /** In the link at the foot of every mail: whoever has the mail may say that it is enough. */
    token: text('token').notNull().unique(),
    changedAt: integer('changed_at').notNull(),
  },
  (t) => [check('word_choices_choice', oneOf(t.choice, WORD_CHOICES))],
);

/** Texts that the workshop has put in place of the program's own. */
export const wordTemplates = sqliteTable('word_templates', {
  template: text('template').primaryKey(),
  subject: text('subject').notNull(),
  body: text('body').notNull(),
  changedBy: text('changed_by').notNull(),
  changedAt: integer('changed_at').notNull(),
});

/** Capability links and sessions. Only the SHA-256 of a 128-bit random token is kept (OWASP ASVS 5.0, 6.5.2). */
export const accessTokens = sqliteTable(
  'access_tokens',
  {
    hash: text('hash').primaryKey(),
    role: text('role', { enum: ROLES }).notNull(),
    /** The driver or donor the link belongs to; for a coordinator the word `workshop`, or a van's calendar. */
    subjectId: text('subject_id').notNull(),
    purpose: text('purpose', { enum: ['link', 'session', 'calendar'] }).notNull(),
    label: text('label').notNull().default(''),
    /** Of a session: the link it was opened with, and ends with. */
    linkHash: text('link_hash'),
    createdAt: integer('created_at').notNull(),
    expiresAt: integer('expires_at').notNull(),
    revokedAt: integer('revoked_at'),
  },
  (t) => [
    index('access_tokens_subject').on(t.role, t.subjectId),
    check('access_tokens_role', oneOf(t.role, ROLES)),
    check('access_tokens_purpose', oneOf(t.purpose, ['link', 'session', 'calendar'])),
    check('access_tokens_span', sql`${t.createdAt} < ${t.expiresAt}`),
  ],
);
