/** Quantities in English, for the coordinator's pages, the command line and mails; see `messages/formats.ts`. */
import type { Metres } from '../../core/quantity/units.ts';
import { formatsIn, NBSP } from '../messages/formats.ts';

export { localDay, machineTime, NBSP, plainSpaces, time, timeSpan } from '../messages/formats.ts';
export const {
  number,
  kg,
  kgRange,
  litres,
  km,
  duration,
  percent,
  days,
  money,
  weekday,
  weekdayLong,
  dayShort,
  dayLong,
  dayYear,
  dayYearShort,
  dateTime,
  ago,
} = formatsIn('en');

/** "120 m", "1.4 km". */
export const distance = (metres: Metres): string =>
  metres < 1000 ? `${number(metres)}${NBSP}m` : km(metres);
