/** What a donor's film became: by month, against the year before, and what could be pressed from it. */
import type { SiteModel } from '../../core/accumulation/site-model.ts';
import { localOf } from '../../core/calendar/zone.ts';
import type { Instant, Kg, LocalDay } from '../../core/quantity/units.ts';
import type { Db } from '../../store/db.ts';
import { listProducts } from '../../store/products.ts';
import { type Transfer, transfersOf } from './transfers.ts';

export type FilmSum = {
  readonly pickups: number;
  readonly collectedKg: Kg;
  readonly rejectedKg: Kg;
  /** Diverted is what was accepted, not what was collected (facts.md G1). */
  readonly acceptedKg: Kg;
  /** Part of what was collected that was not weighed but worked out from bags or a full container. */
  readonly estimatedKg: Kg;
};
export type FilmMonth = FilmSum & {
  /** `YYYY-MM`. */
  readonly month: string;
  /** Accepted in the same month a year earlier; 0 where nothing was taken. */
  readonly yearBeforeKg: Kg;
};
export type Became = {
  /** The last twelve, oldest first; a month without a collection is there with zeros. */
  readonly months: readonly FilmMonth[];
  readonly sum: FilmSum;
  /** The twelve months before those, up to the same day; nothing where collections began only in them. */
  readonly yearBefore?: FilmSum;
  /** Whole units that the accepted film of the twelve months would make, at the workshop's recipe; each product alone. */
  readonly products: readonly { readonly name: string; readonly units: number }[];
  /** Calendar years with collections, newest first. */
  readonly years: readonly number[];
};

const MONTHS = 12;

export function whatItBecame(
  db: Db,
  donorId: string,
  models: ReadonlyMap<string, Pick<SiteModel, 'bagKg' | 'capacityKg'>>,
  { zone, nowAt }: { readonly zone: string; readonly nowAt: Instant },
): Became {
  const transfers = transfersOf(db, donorId, models).map((t) => ({ ...t, day: localOf(zone, t.at).day }));
  const today = localOf(zone, nowAt).day;
  const inMonth = (month: string) => transfers.filter(({ day }) => day.startsWith(month));
  const months = Array.from({ length: MONTHS }, (_, i) => monthBefore(today.slice(0, 7), MONTHS - 1 - i)).map(
    (month): FilmMonth => ({
      month,
      ...sumOf(inMonth(month)),
      yearBeforeKg: sumOf(inMonth(monthBefore(month, MONTHS))).acceptedKg,
    }),
  );
  const sum = sumOf(transfers.filter(({ day }) => day >= months[0]!.month));
  const first = transfers[0]?.day;
  const isKnownSince = (month: string): boolean => first !== undefined && first < monthBefore(month, -2);
  const before = sumOf(
    transfers.filter(
      ({ day }) => day >= monthBefore(months[0]!.month, MONTHS) && day <= sameDayLastYear(today),
    ),
  );
  return {
    months,
    sum,
    ...(isKnownSince(monthBefore(months[0]!.month, MONTHS)) ? { yearBefore: before } : {}),
    products: listProducts(db)
      .map(({ name, filmKgPerUnit }) => ({ name, units: Math.floor(sum.acceptedKg / filmKgPerUnit) }))
      .filter(({ units }) => units > 0),
    years: [...new Set(transfers.map(({ day }) => Number(day.slice(0, 4))))].sort((a, b) => b - a),
  };
}

export function sumOf(transfers: readonly Transfer[]): FilmSum {
  const total = (of: (t: Transfer) => Kg): Kg => transfers.reduce((sum, t) => sum + of(t), 0);
  return {
    pickups: transfers.length,
    collectedKg: total((t) => t.collectedKg),
    rejectedKg: total((t) => t.rejectedKg),
    acceptedKg: total((t) => t.acceptedKg),
    estimatedKg: total((t) => (t.isWeighed ? 0 : t.collectedKg)),
  };
}

function monthBefore(month: string, back: number): string {
  const [year = 0, number = 1] = month.split('-').map(Number);
  const index = year * 12 + number - 1 - back;
  return `${Math.floor(index / 12)}-${String((index % 12) + 1).padStart(2, '0')}`;
}

/** Compared as text only, so that 29 February needs no calendar. */
const sameDayLastYear = (day: LocalDay): LocalDay => `${Number(day.slice(0, 4)) - 1}${day.slice(4)}`;
