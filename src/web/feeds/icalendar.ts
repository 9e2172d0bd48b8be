/** Writes iCalendar (RFC 5545, with the calendar properties of RFC 7986). Times in UTC: no zone table to go stale. */
import type { Instant, Position, Seconds } from '../../core/quantity/units.ts';

export type CalendarEvent = {
  readonly uid: string;
  readonly sequence: number;
  readonly changedAt: Instant;
  readonly fromAt: Instant;
  readonly untilAt: Instant;
  readonly status: 'CONFIRMED' | 'TENTATIVE' | 'CANCELLED';
  readonly summary: string;
  readonly description: string;
  readonly location: string;
  readonly position?: Position;
};

export type Calendar = {
  readonly name: string;
  /** How often a program may look again. */
  readonly refreshS: Seconds;
  readonly events: readonly CalendarEvent[];
};

export const ICALENDAR_TYPE = 'text/calendar; charset=utf-8';

/** Lines end with CRLF and are folded (3.1). */
export function writeCalendar({ name, refreshS, events }: Calendar): string {
  const every = `PT${Math.round(refreshS / 60)}M`;
  const lines = [
    'BEGIN:VCALENDAR',
    'VERSION:2.0',
    'PRODID:-//Feedround//Feeds//EN',
    'CALSCALE:GREGORIAN',
    `NAME:${text(name)}`,
    // Older programs know only this name, and the next but one.
    `X-WR-CALNAME:${text(name)}`,
    `REFRESH-INTERVAL;VALUE=DURATION:${every}`,
    `X-PUBLISHED-TTL:${every}`,
    ...events.flatMap(eventLines),
    'END:VCALENDAR',
  ];
  return lines.map((line) => `${fold(line)}\r\n`).join('');
}

const eventLines = (event: CalendarEvent): string[] => [
  'BEGIN:VEVENT',
  `UID:${text(event.uid)}`,
  // Without a METHOD the stamp is the time of the last revision (3.8.7.2).
  `DTSTAMP:${utc(event.changedAt)}`,
  `LAST-MODIFIED:${utc(event.changedAt)}`,
  `SEQUENCE:${event.sequence}`,
  `DTSTART:${utc(event.fromAt)}`,
  `DTEND:${utc(event.untilAt)}`,
  `STATUS:${event.status}`,
  `SUMMARY:${text(event.summary)}`,
  ...(event.description === '' ? [] : [`DESCRIPTION:${text(event.description)}`]),
  ...(event.location === '' ? [] : [`LOCATION:${text(event.location)}`]),
  ...(event.position ? [`GEO:${event.position.lat.toFixed(6)};${event.position.lon.toFixed(6)}`] : []),
  'END:VEVENT',
];

/** DATE-TIME form 2 (3.3.5): 19980119T070000Z. */
const utc = (at: Instant): string =>
  `${new Date(at * 1000)
    .toISOString()
    .replace(/[-:]/g, '')
    .replace(/\.\d+Z$/, '')}Z`;

// biome-ignore lint/suspicious/noControlCharactersInRegex: TEXT may not hold them (3.3.11).
const CONTROL = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]/g;

/** TEXT (3.3.11): backslash, semicolon, comma and line break are escaped. */
const text = (value: string): string =>
  value
    .replace(CONTROL, '')
    .replace(/[\\;,]/g, '\\$&')
    .replace(/\r\n|\r|\n/g, '\\n');

const FOLD_OCTETS = 75;

/** No line over 75 octets, the break not counted; no character is cut in two (3.1). */
function fold(line: string): string {
  const parts: string[] = [];
  let part = '';
  let octets = 0;
  for (const character of line) {
    const size = Buffer.byteLength(character);
    if (octets + size > FOLD_OCTETS) {
      parts.push(part);
      part = '';
      // The space that opens a continued line counts as well.
      octets = 1;
    }
    part += character;
    octets += size;
  }
  return [...parts, part].join('\r\n ');
}
