/** Languages: which one a person gets, how quantities are written in each, and that nothing was left in English. */
import { Hono } from 'hono';
import { describe, expect, test } from 'vitest';
import { describeRule } from '../../../src/core/calendar/pickup-rule.ts';
import { formatsIn, plainSpaces } from '../../../src/web/messages/formats.ts';
import { bestLanguage } from '../../../src/web/messages/language.ts';
import { sayIn } from '../../../src/web/messages/say.ts';
import { rememberLanguage, sayOf } from '../../../src/web/shared/speak.ts';

describe('the language of a browser', () => {
  test.each([
    // The first is the example of RFC 9110, 12.5.4; the ranges of the others are those of RFC 4647, 2.
    ['da, en-gb;q=0.8, en;q=0.7', 'en'],
    ['de-AT, en;q=0.5', 'de'],
    ['en;q=0.4, de;q=0.9', 'de'],
    ['de-Latn-DE-1996', 'de'],
    ['de;q=0, en;q=0.1', 'en'],
    ['fr, *;q=0.3', 'en'],
    ['fr, ja', 'en'],
    ['de;q=nonsense', 'en'],
    [undefined, 'en'],
  ])('%s is answered in %s', (header, language) => {
    expect(bestLanguage(header)).toBe(language);
  });

  const app = new Hono()
    .use(rememberLanguage('https://film.example'))
    .get('*', (c) => c.text(sayOf(c).language));
  const ask = async (path: string, headers: Record<string, string>) => {
    const answer = await app.request(path, { headers });
    return { language: await answer.text(), cookie: answer.headers.get('set-cookie') };
  };
  test('gives way to what was chosen on the page, and that is remembered', async () => {
    const german = { 'accept-language': 'de' };
    expect(await ask('/donor', german)).toEqual({ language: 'de', cookie: null });
    const chosen = await ask('/donor?lang=en', german);
    expect(chosen.language).toBe('en');
    expect(chosen.cookie).toMatch(
      /^feedround-language=en; Max-Age=31536000; Path=\/; HttpOnly; Secure; SameSite=Lax/,
    );
    expect((await ask('/donor', { ...german, cookie: 'feedround-language=en' })).language).toBe('en');
    expect((await ask('/donor?lang=xx', german)).cookie).toBeNull();
  });
  test('does not move the coordinator’s pages, which are in English', async () => {
    expect((await ask('/week', { 'accept-language': 'de' })).language).toBe('en');
  });
});

describe('quantities in German', () => {
  const f = formatsIn('de');
  const WINTER_AT = Date.UTC(2026, 10, 24, 8, 5) / 1000;
  // Numbers as CLDR has them for de (comma, point, percent after a space); dates as DIN 5008 spells them out.
  test('have a comma, and a unit that never breaks off', () => {
    expect(f.kg(4.26)).toBe('4,3\u00a0kg');
    expect([f.kg(1240), f.percent(0.126), f.percent(0.004), f.days(1), f.days(3.2)].map(plainSpaces)).toEqual(
      ['1.240 kg', '13 %', 'unter 1 %', '1,0 Tag', '3,2 Tage'],
    );
    expect(plainSpaces(f.money(12_400_000, 'EUR'))).toBe('12,40 €');
  });
  test('days and times are those of the workshop’s zone', () => {
    expect(f.dayLong('2026-11-24')).toBe('Dienstag, 24. November');
    expect(f.dayYear('2026-11-24')).toBe('24. November 2026');
    expect(f.dateTime(WINTER_AT, 'Europe/Vienna')).toBe('Di., 24. Nov., 09:05');
    expect(plainSpaces(f.ago(WINTER_AT, WINTER_AT + 7200))).toBe('vor 2 Stunden');
    expect(plainSpaces(f.ago(WINTER_AT, WINTER_AT + 172_800))).toBe('vor 2 Tagen');
  });
});

test.each([
  // Examples of RFC 5545, 3.8.5.3; the German is ours.
  ['FREQ=DAILY;INTERVAL=2', 'Jeden zweiten Tag'],
  ['FREQ=WEEKLY', 'Jeden Dienstag'],
  ['FREQ=WEEKLY;INTERVAL=2;BYDAY=MO,WE,FR', 'Jede zweite Woche am Montag, Mittwoch und Freitag'],
  ['FREQ=MONTHLY;BYDAY=1FR', 'Jeden Monat am ersten Freitag'],
  ['FREQ=MONTHLY;BYDAY=-2MO', 'Jeden Monat am vorletzten Montag'],
  ['FREQ=MONTHLY;BYMONTHDAY=2,15', 'Jeden Monat am 2. und 15.'],
  ['FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13', 'Jeden Monat an einem Freitag, der der 13. ist'],
])('%s reads as „%s“', (rrule, words) => {
  const rule = { rrule, startsLocal: '1997-09-02T09:00', windowS: 10_800, commitment: 'must' as const };
  expect(sayIn('de').rule(describeRule({ ...rule, exceptDays: [], extraDays: [] }))).toBe(
    `${words}, 09:00 bis 12:00 Uhr`,
  );
});

/** Words that are the same in both languages. */
const ALIKE = new Set(['PVC', 'LDPE']);
function leaves(value: unknown, path: string): (readonly [string, string])[] {
  if (typeof value === 'string') return [[path, value]];
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) => leaves(inner, `${path}.${key}`));
}
test('no German message was left empty or in English', () => {
  const { language: _l, f: _f, ...german } = sayIn('de');
  const { language: _m, f: _g, ...english } = sayIn('en');
  const said = new Map(leaves(english, ''));
  const found = leaves(german, '');
  expect(found.length).toBe(said.size);
  expect(
    found.filter(([path, text]) => text === '' || (said.get(path) === text && !ALIKE.has(text))),
  ).toEqual([]);
});
