/**
 * Exposure: how much "filling time" lies between two instants, in exposure-weeks. A normal week counts 1; days
 * weigh by weekday and month, closed days count nothing, parts of a day count in proportion. Running sums over
 * local days make a question cost the same over a day or a year, and exact across clock changes.
 */
import type { Instant } from '../quantity/units.ts';
import { dayNumberOf, monthOf, weekdayOf, type ZoneDays, zoneDays } from './local-days.ts';
import type { Exposure } from './site-model.ts';

/** Running sums of one exposure over a growing range of days. */
type Table = {
  /** Closed spans as day numbers, both ends included. */
  readonly closed: readonly (readonly [number, number])[];
  readonly firstDay: number;
  /** `sums[i]`: exposure from the start of `firstDay` to the start of `firstDay + i`. */
  readonly sums: Float64Array;
  readonly starts: Float64Array;
};

/** Sites that are open alike share their sums: found by content once, then by the object. */
const tables = new WeakMap<Exposure, { table: Table }>();
const shared = new Map<string, { table: Table }>();
const MOST_SHARED = 5000;
const MARGIN_DAYS = 120;

/** Exposure-weeks from `fromAt` until `untilAt`; 0 where the span is empty or backward. */
export function exposureBetween(exposure: Exposure, fromAt: Instant, untilAt: Instant): number {
  if (!(untilAt > fromAt)) return 0;
  const table = tableOver(exposure, fromAt, untilAt);
  return exposureTo(table, untilAt) - exposureTo(table, fromAt);
}

function exposureTo(table: Table, at: Instant): number {
  const { starts, sums } = table;
  // Days are 23 to 25 hours long, so the guess is off by one at most... and by the zone's offset.
  let i = Math.floor((at - starts[0]!) / 86_400);
  if (i < 0) i = 0;
  while (starts[i]! > at) i--;
  while (starts[i + 1]! <= at) i++;
  const share = (at - starts[i]!) / (starts[i + 1]! - starts[i]!);
  return sums[i]! + share * (sums[i + 1]! - sums[i]!);
}

function tableOver(exposure: Exposure, fromAt: Instant, untilAt: Instant): Table {
  const known = tables.get(exposure);
  if (known) {
    const { starts } = known.table;
    if (starts[0]! <= fromAt && untilAt < starts[starts.length - 1]!) return known.table;
  }
  if (!Number.isFinite(fromAt) || !Number.isFinite(untilAt))
    throw new RangeError(`exposure needs finite instants, got ${fromAt} to ${untilAt}`);
  const days = zoneDays(exposure.zone);
  const from = days.dayNumberAt(fromAt);
  const until = days.dayNumberAt(untilAt) + 1;
  const own = known ?? sharedTable(exposure, days, from - 7, until + MARGIN_DAYS);
  tables.set(exposure, own);
  const { firstDay, starts, closed } = own.table;
  const lastDay = firstDay + starts.length - 1;
  if (from < firstDay || until > lastDay)
    own.table = fill(
      exposure,
      days,
      closed,
      from < firstDay ? from - MARGIN_DAYS : firstDay,
      until > lastDay ? until + MARGIN_DAYS : lastDay,
    );
  return own.table;
}

function sharedTable(exposure: Exposure, days: ZoneDays, firstDay: number, lastDay: number) {
  const { zone, weekdayWeight, closedDays, monthFactor } = exposure;
  const key = JSON.stringify([zone, weekdayWeight, closedDays, monthFactor]);
  const known = shared.get(key);
  if (known) return known;
  const made = { table: fill(exposure, days, closedSpans(exposure), firstDay, lastDay) };
  if (shared.size >= MOST_SHARED) shared.clear();
  shared.set(key, made);
  return made;
}

function closedSpans(exposure: Exposure): readonly (readonly [number, number])[] {
  if (exposure.weekdayWeight.length !== 7 || exposure.monthFactor.length !== 12)
    throw new RangeError(
      `an exposure has 7 weekday weights and 12 month factors, got ${exposure.weekdayWeight.length} and ${exposure.monthFactor.length}`,
    );
  return exposure.closedDays.map((span) => [dayNumberOf(span.fromDay), dayNumberOf(span.untilDay)] as const);
}

function fill(
  exposure: Exposure,
  days: ZoneDays,
  closed: Table['closed'],
  firstDay: number,
  lastDay: number,
): Table {
  const count = lastDay - firstDay;
  const sums = new Float64Array(count + 1);
  const starts = new Float64Array(count + 1);
  const weights = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    starts[i] = days.startAt(firstDay + i);
    weights[i] =
      exposure.weekdayWeight[weekdayOf(firstDay + i)]! * exposure.monthFactor[monthOf(firstDay + i)]!;
  }
  starts[count] = days.startAt(lastDay);
  for (const [from, until] of closed)
    weights.fill(0, Math.max(0, from - firstDay), Math.max(0, until + 1 - firstDay));
  for (let i = 0; i < count; i++) sums[i + 1] = sums[i]! + weights[i]!;
  return { closed, firstDay, sums, starts };
}
