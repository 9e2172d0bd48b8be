/** The writer held to RFC 5545 and to an independent parser, ical.js. */
import fc from 'fast-check';
import ICAL from 'ical.js';
import { expect, test } from 'vitest';
import { instantOf } from '../../../src/core/calendar/zone.ts';
import { type CalendarEvent, writeCalendar } from '../../../src/web/feeds/icalendar.ts';

const anEvent = (over: Partial<CalendarEvent> = {}): CalendarEvent => ({
  uid: 'visit-1@feedround',
  sequence: 0,
  changedAt: 884_905_200,
  fromAt: 885_193_200,
  untilAt: 885_196_800,
  status: 'CONFIRMED',
  summary: 'Film collection',
  description: '',
  location: '',
  ...over,
});
const write = (...events: CalendarEvent[]) => writeCalendar({ name: 'Film', refreshS: 3600, events });
const unfold = (text: string) => text.replaceAll('\r\n ', '');
const parse = (text: string) =>
  new ICAL.Component(ICAL.parse(text)).getAllSubcomponents('vevent').map((one) => new ICAL.Event(one));

test('DATE-TIME with UTC time: the example of RFC 5545, 3.3.5, is 19980119T070000Z', () => {
  // January 19, 1998, at 0700 UTC = 885193200 s.
  expect(write(anEvent())).toContain('\r\nDTSTART:19980119T070000Z\r\n');
});

test('TEXT: the example of RFC 5545, 3.3.11, is written as it stands there', () => {
  const value = 'Project XYZ Final Review\nConference Room - 3B\nCome Prepared.';
  expect(unfold(write(anEvent({ description: value })))).toContain(
    String.raw`DESCRIPTION:Project XYZ Final Review\nConference Room - 3B\nCome Prepared.`,
  );
  // 3.3.11: BACKSLASH, COMMA and SEMICOLON are escaped, COLON is not.
  expect(unfold(write(anEvent({ summary: 'a\\b;c,d:e' })))).toContain(String.raw`SUMMARY:a\\b\;c\,d:e`);
});

test('the properties of 3.6 and 3.6.1 that are required, once each', () => {
  const text = write(anEvent());
  for (const name of ['VERSION', 'PRODID', 'UID', 'DTSTAMP', 'DTSTART', 'DTEND'])
    expect(text.match(new RegExp(`^${name}[:;]`, 'gm')), name).toHaveLength(1);
  // RFC 7986, 5.7: the value type must be named.
  expect(text).toContain('\r\nREFRESH-INTERVAL;VALUE=DURATION:PT60M\r\n');
});

test('one hour of visits stays one hour on both days of changed summer time (Europe/London 2026)', () => {
  // facts.md F1: 09:00 in London is 08:00Z on 2026-10-22 and 09:00Z on 2026-10-29.
  for (const [day, utc] of [
    ['2026-10-22', '20261022T080000Z'],
    ['2026-10-29', '20261029T090000Z'],
    // The first 01:30 of the hour that happens twice, 00:30Z.
    ['2026-10-25', '20261025T003000Z'],
  ] as const) {
    const fromAt = instantOf('Europe/London', day, day === '2026-10-25' ? 90 : 540);
    const text = write(anEvent({ fromAt, untilAt: fromAt + 3600 }));
    expect(text).toContain(`DTSTART:${utc}`);
    const [event] = parse(text);
    expect(event!.startDate.toUnixTime()).toBe(fromAt);
    expect(event!.duration.toSeconds()).toBe(3600);
  }
});

const anyText = fc.string({
  unit: fc.oneof(fc.constantFrom(...'\\;,:\n"ä€😀 \u0301'), fc.string({ minLength: 1, maxLength: 1 })),
  maxLength: 120,
});
// biome-ignore lint/suspicious/noControlCharactersInRegex: what TEXT may not hold.
const FORBIDDEN = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]/g;
const plain = (text: string) => text.replace(FORBIDDEN, '').replace(/\r\n?/g, '\n');

test('any text comes back from an independent parser; no line is over 75 octets, every line ends with CRLF', () => {
  fc.assert(
    fc.property(anyText, anyText, anyText, fc.nat(99), (summary, description, location, sequence) => {
      const text = write(anEvent({ summary, description, location, sequence, status: 'CANCELLED' }));
      expect(text.endsWith('\r\n')).toBe(true);
      const lines = text.slice(0, -2).split('\r\n');
      for (const line of lines) {
        expect(Buffer.byteLength(line)).toBeLessThanOrEqual(75);
        expect(line).not.toMatch(/[\r\n\ufffd]/);
      }
      const [event] = parse(text);
      expect(event!.summary).toBe(plain(summary));
      expect(event!.description ?? '').toBe(plain(description));
      expect(event!.location ?? '').toBe(plain(location));
      expect(event!.sequence).toBe(sequence);
      expect(event!.component.getFirstPropertyValue('status')).toBe('CANCELLED');
    }),
    { seed: 5, numRuns: 400 },
  );
});

test('written by the parser and read again, the entries are the same', () => {
  const text = write(
    anEvent({ summary: 'Bäckerei; Nord', position: { lat: 46.2, lon: -19.34 } }),
    anEvent({ uid: 'b' }),
  );
  const again = ICAL.stringify(ICAL.parse(text));
  const facts = (source: string) =>
    parse(source).map((e) => [
      e.uid,
      e.summary,
      e.startDate.toString(),
      String(e.component.getFirstPropertyValue('geo')),
    ]);
  expect(facts(again)).toEqual(facts(text));
  expect(facts(text)[0]![3]).toBe('46.2,-19.34');
});
