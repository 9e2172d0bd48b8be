/** Quantities in English, for the coordinator's pages, the command line and mails; see `messages/formats.ts`. */
import { formatsIn } from '../messages/formats.ts';

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
