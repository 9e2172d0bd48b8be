/**
 * Units and identifiers.
 *
 * A `Unit` is a number whose type names its unit: a plain number is accepted, a different unit is a compile
 * error, and arithmetic gives a plain number back. So the suffix in the name (`fillKg`, `legM`) stays the
 * first line of defence, and the type the second.
 */
type Unit<U extends string> = number & { readonly unit?: U };

export type Kg = Unit<'kg'>;
export type Litres = Unit<'L'>;
export type Metres = Unit<'m'>;
export type Seconds = Unit<'s'>;

/** Seconds since 1970-01-01T00:00:00Z, so that the difference of two instants is a duration in seconds. */
export type Instant = Unit<'s since epoch'>;

/** Money: whole millionths of the workshop's currency unit, so that sums of leg costs are exact. */
export type Micros = Unit<'1e-6 currency'>;

/** A calendar day in the workshop's zone, `YYYY-MM-DD`. Sorts as text. */
export type LocalDay = string;

/** A point on the WGS84 ellipsoid, decimal degrees. */
export type Position = { readonly lat: number; readonly lon: number };

/** A half-open stretch of time [fromAt, untilAt). */
export type TimeWindow = {
  readonly fromAt: Instant;
  readonly untilAt: Instant;
};
