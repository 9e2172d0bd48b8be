/** What the forms of vans, drivers and shifts ask for, read into facts, or the sentence beside each field that is wrong. */
import { z } from 'zod';
import { addDays, daysBetween, daysFrom, isDay, isoWeekday, minuteOf } from '../../core/calendar/zone.ts';
import type { LocalDay, Micros } from '../../core/quantity/units.ts';
import type { FieldErrors, Typed } from '../shared/form.ts';
import { Id } from '../shared/ids.ts';

/** ISO weekday − 1; each its own box, since a form's fields of one name arrive as the last. */
export const WEEKDAYS = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const;
/** Half a year of shifts at once; more is a slip of the keyboard. */
const MAX_SPAN_DAYS = 186;

/** A decimal point or comma; spaces between thousands are taken. */
const amount = (wanted: string, { min, max }: { readonly min: number; readonly max: number }) =>
  z
    .string({ error: wanted })
    .transform((text) => Number(text.replaceAll(/[\s\u00a0\u202f]/g, '').replace(',', '.')))
    .pipe(z.number({ error: wanted }).min(min, wanted).max(max, wanted));
const micros = (units: number): Micros => Math.round(units * 1_000_000);
const day = (wanted: string) => z.string({ error: wanted }).refine(isDay, wanted);
const minute = (wanted: string) =>
  z
    .string({ error: wanted })
    .transform((text) => minuteOf(text) ?? Number.NaN)
    .pipe(z.number({ error: wanted }));
const name = z
  .string({ error: 'Give it a name.' })
  .trim()
  .min(1, 'Give it a name.')
  .max(80, 'At most 80 letters.');

export const VanForm = z
  .strictObject({
    name,
    payload_kg: amount('A number from 1 to 30,000 kg, such as 720.', { min: 1, max: 30_000 }),
    load_space_l: amount('A number from 1 to 200,000 litres, such as 6500.', { min: 1, max: 200_000 }),
    cost_per_km: amount('An amount from 0 to 100, such as 0.42.', { min: 0, max: 100 }),
    check_due: day('A day, such as 2027-03-31, or nothing.').optional(),
  })
  .transform((f) => ({
    name: f.name,
    // To the gram, as it is kept: the same form twice must find the same.
    payloadKg: Math.round(f.payload_kg * 1000) / 1000,
    loadSpaceL: f.load_space_l,
    costMicrosPerKm: micros(f.cost_per_km),
    checkDueDay: f.check_due ?? null,
  }));

export const DriverForm = z
  .strictObject({
    name,
    email: z.email('An address such as ada@workshop.example, or nothing.').optional(),
    cost_per_hour: amount('An amount from 0 to 1,000, such as 18.50.', { min: 0, max: 1000 }),
  })
  .transform((f) => ({ name: f.name, email: f.email ?? '', costMicrosPerHour: micros(f.cost_per_hour) }));

const HOURS = {
  van: Id.optional(),
  driver: Id.optional(),
  starts: minute('A time, such as 07:30.'),
  ends: minute('A time, such as 15:30.'),
};
export const ShiftForm = z.strictObject(HOURS);

const Ticked = z.literal('yes').optional();
export const ArrangeForm = z.strictObject({
  ...HOURS,
  factId: Id,
  from: day('The first day, such as 2026-06-15.'),
  until: day('The last day, or nothing for one day alone.').optional(),
  ...(Object.fromEntries(WEEKDAYS.map((weekday) => [weekday, Ticked])) as Record<
    (typeof WEEKDAYS)[number],
    typeof Ticked
  >),
});

/** The days that are meant: one, or those of the ticked weekdays up to the last; all of them where none is ticked. */
export function daysMeant(
  form: z.output<typeof ArrangeForm>,
):
  | { readonly ok: true; readonly days: readonly LocalDay[] }
  | { readonly ok: false; readonly errors: FieldErrors } {
  const until = form.until ?? form.from;
  const span = daysBetween(form.from, until);
  if (span < 0) return { ok: false, errors: { until: 'The last day lies before the first.' } };
  if (span > MAX_SPAN_DAYS)
    return {
      ok: false,
      errors: { until: `At most ${MAX_SPAN_DAYS} days at once, until ${addDays(form.from, MAX_SPAN_DAYS)}.` },
    };
  const ticked = WEEKDAYS.map((weekday) => form[weekday] === 'yes');
  const isMeant = (one: LocalDay) => !ticked.includes(true) || ticked[isoWeekday(one) - 1]!;
  const days = daysFrom(form.from, span + 1).filter(isMeant);
  return days.length > 0
    ? { ok: true, days }
    : { ok: false, errors: { until: 'None of the ticked weekdays lies between these days.' } };
}

const plain = (value: number): string => String(Math.round(value * 1e6) / 1e6);

export const typedVan = (van: {
  readonly name: string;
  readonly payloadKg: number;
  readonly loadSpaceL: number;
  readonly costMicrosPerKm: Micros;
  readonly checkDueDay: LocalDay | undefined;
}): Typed => ({
  name: van.name,
  payload_kg: plain(van.payloadKg),
  load_space_l: plain(van.loadSpaceL),
  cost_per_km: plain(van.costMicrosPerKm / 1e6),
  check_due: van.checkDueDay ?? '',
});

export const typedDriver = (driver: {
  readonly name: string;
  readonly email: string;
  readonly costMicrosPerHour: Micros;
}): Typed => ({
  name: driver.name,
  email: driver.email,
  cost_per_hour: plain(driver.costMicrosPerHour / 1e6),
});
