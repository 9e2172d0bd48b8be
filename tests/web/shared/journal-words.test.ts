/** Every kind of entry is told in a sentence; what this program does not know, as far as it can be. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { closeStore, type Store } from '../../../src/store/db.ts';
import { actorWords, entryWords } from '../../../src/web/shared/journal-words.ts';
import { type Names, readNames } from '../../../src/web/shared/names.ts';
import { smallStore } from '../../fixtures/small-store.ts';

let store: Store;
let names: Names;
beforeAll(() => {
  store = smallStore();
  names = readNames(store);
});
afterAll(() => closeStore(store));

const words = (kind: string, subject: string, facts: unknown): string =>
  entryWords({ seq: 1, at: 0, kind, subject, actor: 'test', facts }, names).replaceAll('\u00a0', ' ');

test.each([
  [
    'site-moved',
    'site:s1',
    { lat: 48.2, lon: 16.3, latBefore: 48.2, lonBefore: 16.301, movedM: 74 },
    'Site s1: its position was corrected by 74 m.',
  ],
  [
    'stop-missed',
    'site:s1',
    { missedId: 'm', stopId: 't', reason: 'closed' },
    'Site s1: not collected (closed).',
  ],
  [
    'stop-missed',
    'site:s1',
    { missedId: 'm', stopId: 't', reason: 'van-full' },
    'Site s1: passed by, the van was full.',
  ],
  ['container-reported-full', 'site:s1', { reportId: 'r', fraction: 1.2 }, 'Site s1: reported full.'],
  ['container-reported-full', 'site:s1', { reportId: 'r', fraction: 0.5 }, 'Site s1: reported 50 % full.'],
  [
    'van-off-road',
    'van:v1',
    { fromAt: 0, roundId: 'r', reason: '' },
    'Van: off the road from Thu 1 Jan, 01:00, in the middle of its round.',
  ],
  [
    'driver-away',
    'driver:p1',
    { shiftId: 'h1', day: '2026-06-15', reason: 'ill' },
    'Ida: away on Mon 15 Jun: ill.',
  ],
  [
    'round-finished',
    'round:r',
    { markId: 'm', driverId: 'p1', openStopIds: ['a'] },
    'Ida finished the round with 1 stop not handed in.',
  ],
  [
    'film-delivered',
    'grade:ldpe-clear',
    { movementId: 'm', grade: 'ldpe-clear', kg: 12.5, day: 'x', note: 'scouts' },
    '12.5 kg of LDPE clear was brought to the door: scouts.',
  ],
  [
    'weigh-in-recorded',
    'site:s1',
    { weighInId: 'w', stopId: null, netKg: null, bags: 1 },
    'Site s1: collected, 1 bag.',
  ],
  ['plan-published', 'plan:x', { supersededId: null }, 'A plan was published.'],
  ['entered', 'coordinator:workshop', {}, 'The coordinator came in.'],
])('%s of %s', (kind, subject, facts, expected) => {
  expect(words(kind, subject, facts)).toBe(expected);
});

test('a kind or facts of another version of the program are named, not lost', () => {
  expect(words('comet-seen', 'site:s1', {})).toBe('comet seen (site:s1)');
  expect(words('plan-published', 'plan:x', { more: 1 })).toBe('plan published (plan:x)');
});

test('who did it is a name where there is one', () => {
  expect([
    actorWords('driver:p1', names),
    actorWords('donor:d1', names),
    actorWords('coordinator:Ina', names),
    actorWords('command-line', names),
    actorWords('driver:gone', names),
  ]).toEqual(['Ida', 'First donor', 'Ina', 'command line', 'gone']);
});
