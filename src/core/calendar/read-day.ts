/** A day as people write it: an ISO date, "16 June", "16.6.", a weekday (the next one, today included), today. */
import type { LocalDay } from '../quantity/units.ts';
import { addDays, isDay, isoWeekday } from './zone.ts';

const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec'];
const WEEKDAYS = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'];
const FULL = /^(mon|tues?|wed(nes)?|thu(rs)?|fri|sat(ur)?|sun)(day)?$/;
const NEAR: { readonly [word: string]: number } = { yesterday: -1, today: 0, tomorrow: 1 };

/** Undefined where it is no day. A date without a year is this year's; next year's where that is half a year past. */
export function readDay(text: string, today: LocalDay): LocalDay | undefined {
  const word = text.trim().toLowerCase();
  if (isDay(word)) return word;
  const near = NEAR[word];
  if (near !== undefined) return addDays(today, near);
  if (FULL.test(word)) {
    const wanted = WEEKDAYS.indexOf(word.slice(0, 3)) + 1;
    return addDays(today, (wanted - isoWeekday(today) + 7) % 7);
  }
  const named = /^(?:[a-z]{3,9},? )?(\d{1,2})(?:st|nd|rd|th)?\.? ([a-z]{3,9})\.?(?: (\d{4}))?$/.exec(word);
  const figures = /^(\d{1,2})[./](\d{1,2})[./]?(\d{4})?$/.exec(word);
  const month = named ? MONTHS.indexOf(named[2]!.slice(0, 3)) + 1 : Number(figures?.[2] ?? 0);
  const [, date = '', , year] = named ?? figures ?? [];
  return month === 0 ? undefined : dayOf(Number(date), month, year, today);
}

function dayOf(date: number, month: number, year: string | undefined, today: LocalDay): LocalDay | undefined {
  const two = (value: number): string => String(value).padStart(2, '0');
  const inYear = (y: string): LocalDay | undefined => {
    const day = `${y}-${two(month)}-${two(date)}`;
    return isDay(day) ? day : undefined;
  };
  if (year !== undefined) return inYear(year);
  const thisYear = Number(today.slice(0, 4));
  const day = inYear(String(thisYear));
  return day !== undefined && day >= addDays(today, -182) ? day : inYear(String(thisYear + 1));
}
