import { expect, test } from 'vitest';
import { ruleWords } from '../../../src/web/shared/rule-words.ts';

const rule = (rrule: string, startsLocal = '1997-09-02T09:00', windowS = 10_800) =>
  ruleWords({ rrule, startsLocal, windowS, commitment: 'must', exceptDays: [], extraDays: [] });

/** The rules are examples of RFC 5545 section 3.8.5.3; the words beside them there say the same in its own way. */
test.each([
  ['FREQ=DAILY;INTERVAL=2', 'Every second day'],
  ['FREQ=WEEKLY', 'Every Tuesday'],
  ['FREQ=WEEKLY;INTERVAL=2;WKST=SU', 'Every second week on Tuesday'],
  ['FREQ=WEEKLY;BYDAY=TU,TH', 'Every Tuesday and Thursday'],
  ['FREQ=WEEKLY;INTERVAL=2;BYDAY=MO,WE,FR', 'Every second week on Monday, Wednesday and Friday'],
  ['FREQ=MONTHLY;BYDAY=1FR', 'Every month on the first Friday'],
  ['FREQ=MONTHLY;INTERVAL=2;BYDAY=1SU,-1SU', 'Every second month on the first Sunday and last Sunday'],
  ['FREQ=MONTHLY;BYDAY=-2MO', 'Every month on the last but one Monday'],
  ['FREQ=MONTHLY;BYMONTHDAY=-3', 'Every month on the third day from the end'],
  ['FREQ=MONTHLY;BYMONTHDAY=2,15', 'Every month on the 2nd and 15th'],
  ['FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13', 'Every month on a Friday that is the 13th'],
])('%s is read as "%s"', (rrule, words) => {
  expect(rule(rrule)).toBe(`${words}, 09:00 to 12:00`);
});

test('an end is said, and a window that runs past midnight names the next day', () => {
  expect(rule('FREQ=WEEKLY;UNTIL=19971224T000000Z')).toContain(', until 24 Dec 1997');
  expect(rule('FREQ=WEEKLY;COUNT=10')).toContain(', 10 times from 2 Sept 1997');
  expect(rule('FREQ=WEEKLY', '1997-09-02T22:00', 14_400)).toBe(
    'Every Tuesday, 22:00 to 02:00 on the next day',
  );
});
