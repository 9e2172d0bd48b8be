import { expect, test } from 'vitest';
import type { StopReason } from '../../../src/core/planning/plan.ts';
import { plainSpaces } from '../../../src/web/shared/format.ts';
import * as words from '../../../src/web/shared/skip-words.ts';
import { callsWords } from '../../../src/web/shared/words.ts';

const stop = (siteId: string, code: StopReason['code']) => ({ siteId, reason: { code } as StopReason });

const unexplained: { readonly siteId: string; readonly reason?: StopReason } = { siteId: 'e' };

test('what was promised, booked or pinned is never left out; what merely pays is', () => {
  const stops = [
    stop('a', 'promised'),
    stop('b', 'overflow'),
    stop('c', 'booked'),
    stop('d', 'pinned'),
    unexplained,
  ];
  expect(words.neverLeftOut(stops).map(({ stop: { siteId }, why }) => `${siteId} ${why}`)).toEqual([
    'a promised',
    'c booked',
    'd fixed by the coordinator',
  ]);
});

test('the order is said in one sentence, and what never', () => {
  expect(words.leaveOutFirst(['Alder', 'Briar', 'Clay'])).toBe(
    'Leave out Alder first, then Briar, then Clay.',
  );
  expect(words.leaveOutFirst(['A', 'B', 'C', 'D', 'E'])).toBe(
    'Leave out A first, then B, then C, then D. If that is not enough, call the workshop.',
  );
  expect(words.leaveOutFirst(['Alder'])).toBe('Leave out Alder first.');
  expect(words.leaveOutFirst([])).toContain('none may be left out');
  expect(
    words.neverSentence([
      { name: 'Mossop', why: 'promised' },
      { name: 'Quay', why: 'booked' },
    ]),
  ).toBe('Never Mossop (promised) or Quay (booked).');
  expect(words.neverSentence([])).toBe('');
});

test('full has both units, and the plate of the van comes first', () => {
  const said = plainSpaces(words.fullMeans({ payloadKg: 720, loadSpaceL: 6500 }));
  expect(said).toContain('Full is 720 kg or 6,500 L, whichever comes first.');
  expect(said).toContain('Never load above the weight on the van’s plate');
  expect(said).toContain('local rules');
  expect(plainSpaces(words.fullEarlySentence(0.04))).toBe(
    '4 % chance that the van is full before its last stop.',
  );
});

test('a round of one trip needs no number, one of several says each', () => {
  const trip = { fullEarlyRisk: 0.04, leftBehindRisk: 0.11, fullBy: 'payload' as const };
  expect(words.tripSentences([trip]).map(plainSpaces)).toEqual([
    '4 % chance of being full before the last stop, 11 % that not everything fits; weight runs out first.',
  ]);
  expect(words.tripSentences([trip, trip])[1]).toMatch(/^Trip 2: /);
});

test('how far a donor is counted on to call rests on its own record', () => {
  const counted = { reliability: 0.6, fromShare: 0.8, premiumMicros: 0 };
  expect(plainSpaces(callsWords({ calls: 2, silent: 1, counted, isSilenceHeard: false }))).toBe(
    'Counted on to say that it is getting full, before it overflows, in 60 % of all cases. In a year it said so 2 times, and was found full without a word once.',
  );
  expect(callsWords({ calls: 0, silent: 0, isSilenceHeard: false })).toBe(
    'Nobody is counted on to say when it is getting full. It has not happened yet.',
  );
  expect(callsWords({ calls: 3, silent: 0, counted, isSilenceHeard: true })).toMatch(
    /never\. While it says nothing, plans take less to be there\.$/,
  );
});
