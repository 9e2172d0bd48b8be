/**
 * When a van may call at a site: weekly hours less closures, as instants of one local day; and the short text
 * that people write hours and closures in.
 */
import { ok, type Result, refuse } from '../quantity/result.ts';
import type { LocalDay, TimeWindow } from '../quantity/units.ts';
import { addDays, clock, dayStart, instantOf, isDay, isoWeekday, minuteOf } from './zone.ts';

/** ISO weekday, 1 is Monday. Minutes on the clock of that day, opens before closes, at most 1440. */
export type WeeklyHours = {
  readonly weekday: number;
  readonly opensMinute: number;
  readonly closesMinute: number;
};

/** Both days included. */
export type Closure = {
  readonly fromDay: LocalDay;
  readonly untilDay: LocalDay;
  readonly reason: string;
};

export type Opening = {
  /** No rows at all: always open. Rows, but none for a weekday: closed on that weekday. */
  readonly hours: readonly WeeklyHours[];
  readonly closures: readonly Pick<Closure, 'fromDay' | 'untilDay'>[];
};

export const isClosedOn = (closures: Opening['closures'], day: LocalDay): boolean =>
  closures.some((closure) => closure.fromDay <= day && day <= closure.untilDay);

/**
 * The open windows of one local day, in order and apart from each other. A window that falls into the hour
 * skipped by summer time vanishes; one across the repeated hour is an hour longer.
 */
export function openWindows(opening: Opening, zone: string, day: LocalDay): TimeWindow[] {
  if (isClosedOn(opening.closures, day)) return [];
  if (opening.hours.length === 0)
    return [{ fromAt: dayStart(zone, day), untilAt: dayStart(zone, addDays(day, 1)) }];
  const weekday = isoWeekday(day);
  const windows: TimeWindow[] = [];
  const today = opening.hours
    .filter((row) => row.weekday === weekday)
    .sort((a, b) => a.opensMinute - b.opensMinute);
  for (const { opensMinute, closesMinute } of today) {
    const fromAt = instantOf(zone, day, opensMinute);
    const untilAt = instantOf(zone, day, closesMinute);
    const last = windows.at(-1);
    if (last && fromAt <= last.untilAt)
      windows[windows.length - 1] = { fromAt: last.fromAt, untilAt: Math.max(last.untilAt, untilAt) };
    else if (fromAt < untilAt) windows.push({ fromAt, untilAt });
  }
  return windows;
}

// ---- `mo-fr 08:00-12:00,13:00-18:00; sa 09:00-13:00` -------------------------------------------------------

export const WEEKDAY_WORDS = ['mo', 'tu', 'we', 'th', 'fr', 'sa', 'su'] as const;

export type HoursFault = {
  readonly code:
    | 'bad-form' // a piece is not `days times`
    | 'unknown-day'
    | 'bad-time'
    | 'closes-first' // over midnight: write two pieces
    | 'overlap';
  readonly value: string;
  /** Where in the text, from 0. */
  readonly offset: number;
  readonly allowed: string;
};

/** Empty text is no rows: always open. `fr-mo` runs over Sunday; `24:00` may close a day. */
export function parseHours(text: string): Result<WeeklyHours[], HoursFault> {
  const rows: WeeklyHours[] = [];
  let offset = 0;
  for (const piece of text.split(';')) {
    const start = offset + (piece.length - piece.trimStart().length);
    offset += piece.length + 1;
    if (piece.trim() === '') continue;
    const fault = (code: HoursFault['code'], value: string, allowed: string) =>
      refuse<HoursFault>({ code, value, offset: start + Math.max(0, piece.trim().indexOf(value)), allowed });
    const found = /^([a-z,\s-]+?)\s+([\d:,\s-]+)$/i.exec(piece.trim());
    if (!found) return fault('bad-form', piece.trim(), 'mo-fr 08:00-12:00,13:00-18:00');
    const [, dayText = '', timeText = ''] = found;
    const weekdays = new Set<number>();
    for (const word of dayText.split(',')) {
      const span = readDaySpan(word);
      if (!span) return fault('unknown-day', word.trim(), WEEKDAY_WORDS.join(', '));
      for (const weekday of span) weekdays.add(weekday);
    }
    for (const span of timeText.split(',')) {
      const ends = span.split('-').map((end) => minuteOf(end.trim()));
      const [opensMinute, closesMinute] = ends;
      if (ends.length !== 2 || opensMinute === undefined || closesMinute === undefined)
        return fault('bad-time', span.trim(), '00:00-24:00');
      if (opensMinute >= closesMinute) return fault('closes-first', span.trim(), '08:00-12:00');
      for (const weekday of weekdays) {
        const clash = rows.some(
          (row) =>
            row.weekday === weekday && row.opensMinute < closesMinute && opensMinute < row.closesMinute,
        );
        if (clash) return fault('overlap', span.trim(), WEEKDAY_WORDS[weekday - 1]!);
        rows.push({ weekday, opensMinute, closesMinute });
      }
    }
  }
  return ok(rows.sort((a, b) => a.weekday - b.weekday || a.opensMinute - b.opensMinute));
}

function readDaySpan(text: string): number[] | undefined {
  const ends = text.split('-').map((word) => {
    const weekday = (WEEKDAY_WORDS as readonly string[]).indexOf(word.trim().toLowerCase());
    return weekday < 0 ? undefined : weekday;
  });
  const [first, last = first] = ends;
  if (first === undefined || last === undefined || ends.length > 2) return undefined;
  return Array.from({ length: ((last - first + 7) % 7) + 1 }, (_, i) => ((first + i) % 7) + 1);
}

/** The inverse of `parseHours`: neighbouring weekdays with the same hours share a piece. */
export function formatHours(hours: readonly WeeklyHours[]): string {
  const times = WEEKDAY_WORDS.map((_, i) =>
    hours
      .filter((row) => row.weekday === i + 1)
      .sort((a, b) => a.opensMinute - b.opensMinute)
      .map((row) => `${clock(row.opensMinute)}-${clock(row.closesMinute)}`)
      .join(','),
  );
  const pieces: string[] = [];
  for (let from = 0; from < times.length; ) {
    let until = from;
    while (until + 1 < times.length && times[until + 1] === times[from]) until++;
    const days = from === until ? WEEKDAY_WORDS[from] : `${WEEKDAY_WORDS[from]}-${WEEKDAY_WORDS[until]}`;
    if (times[from] !== '') pieces.push(`${days} ${times[from]}`);
    from = until + 1;
  }
  return pieces.join('; ');
}

// ---- `2026-12-24..2027-01-02 Christmas; 2026-05-01` ----------------------------------------------------------

export type ClosureFault = {
  readonly code: 'bad-day' | 'ends-first';
  readonly value: string;
  readonly offset: number;
  readonly allowed: string;
};

export function parseClosures(text: string): Result<Closure[], ClosureFault> {
  const closures: Closure[] = [];
  let offset = 0;
  for (const piece of text.split(';')) {
    const start = offset + (piece.length - piece.trimStart().length);
    offset += piece.length + 1;
    if (piece.trim() === '') continue;
    const [span = '', ...words] = piece.trim().split(/\s+/);
    const [fromDay = '', untilDay = fromDay, ...more] = span.split('..');
    if (!isDay(fromDay) || !isDay(untilDay) || more.length > 0)
      return refuse({ code: 'bad-day', value: span, offset: start, allowed: '2026-12-24..2027-01-02' });
    if (untilDay < fromDay)
      return refuse({ code: 'ends-first', value: span, offset: start, allowed: `${untilDay}..${fromDay}` });
    closures.push({ fromDay, untilDay, reason: words.join(' ') });
  }
  return ok(closures.sort((a, b) => (a.fromDay < b.fromDay ? -1 : a.fromDay > b.fromDay ? 1 : 0)));
}

/** The inverse of `parseClosures`; a semicolon in a reason becomes a comma, for it parts the pieces. */
export const formatClosures = (closures: readonly Closure[]): string =>
  closures
    .map(({ fromDay, untilDay, reason }) => {
      const span = fromDay === untilDay ? fromDay : `${fromDay}..${untilDay}`;
      const words = reason.replace(/;/g, ',').trim().split(/\s+/).join(' ');
      return words === '' ? span : `${span} ${words}`;
    })
    .join('; ');
