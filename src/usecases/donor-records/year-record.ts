/** One calendar year of a donor's collections, for its own reporting: months and every transfer. */
import { dayStart, localOf } from '../../core/calendar/zone.ts';
import type { Instant } from '../../core/quantity/units.ts';
import type { Db } from '../../store/db.ts';
import { getDonor } from '../../store/donors.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import { learnFills } from '../learn-fills.ts';
import { type Transfer, transfersOf } from './transfers.ts';
import { type FilmSum, sumOf } from './what-it-became.ts';

export type YearRecord = {
  readonly year: number;
  readonly donorName: string;
  readonly workshop: { readonly name: string; readonly zone: string; readonly phone: string };
  readonly madeAt: Instant;
  /** Not over yet: figures are up to now. */
  readonly isRunning: boolean;
  readonly months: readonly (FilmSum & { readonly month: string })[];
  readonly sum: FilmSum;
  readonly transfers: readonly Transfer[];
};

/** Nothing for a donor that is not in the register, and for a year without a collection. */
export function yearRecord(db: Db, donorId: string, year: number, nowAt: Instant): YearRecord | undefined {
  const donor = getDonor(db, donorId);
  if (!donor) return undefined;
  const { name, zone, settings } = requireWorkshop(db);
  const fromAt = dayStart(zone, `${year}-01-01`);
  const untilAt = dayStart(zone, `${year + 1}-01-01`);
  const transfers = transfersOf(db, donorId, learnFills(db)).filter(({ at }) => at >= fromAt && at < untilAt);
  if (transfers.length === 0) return undefined;
  const monthOf = ({ at }: Transfer): string => localOf(zone, at).day.slice(0, 7);
  return {
    year,
    donorName: donor.name,
    workshop: { name, zone, phone: settings.phone },
    madeAt: nowAt,
    isRunning: nowAt < untilAt,
    months: Array.from({ length: 12 }, (_, i) => `${year}-${String(i + 1).padStart(2, '0')}`).map(
      (month) => ({
        month,
        ...sumOf(transfers.filter((t) => monthOf(t) === month)),
      }),
    ),
    sum: sumOf(transfers),
    transfers,
  };
}
