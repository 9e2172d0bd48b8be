/** What a calendar keeps, from plan versions. The rules are RFC 5545, 3.8.4.7 (UID) and 3.8.7.4 (SEQUENCE). */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { followVisits, type ToldVersion, type ToldVisit } from '../../../src/core/calendar/told-visits.ts';

const DAY_S = 86_400;
const visit = (id: string, dayIndex: number, hour: number, over: Partial<ToldVisit> = {}): ToldVisit => ({
  id,
  subject: 'bakery',
  shiftId: `shift-${dayIndex}`,
  leavesAt: dayIndex * DAY_S + 7 * 3600,
  day: `2026-06-${String(10 + dayIndex)}`,
  fromAt: dayIndex * DAY_S + hour * 3600,
  untilAt: dayIndex * DAY_S + hour * 3600 + 600,
  text: '',
  ...over,
});
const told = (publishedAt: number, ...visits: ToldVisit[]): ToldVersion => ({ publishedAt, visits });
const brief = (versions: ToldVersion[]) =>
  followVisits(versions).map(({ name, sequence, isCancelled, day, changedAt }) => ({
    name,
    sequence,
    isCancelled,
    day,
    changedAt,
  }));

test('told again unchanged, nothing is revised', () => {
  expect(brief([told(1, visit('a', 2, 9)), told(2, visit('b', 2, 9))])).toEqual([
    { name: 'a', sequence: 0, isCancelled: false, day: '2026-06-12', changedAt: 1 },
  ]);
});

test('moved within the day, to another day, called off, taken up again on that day: one name, one more each time', () => {
  const versions = [
    told(1, visit('a', 2, 9)),
    told(2, visit('b', 2, 10)),
    told(3, visit('c', 3, 10)),
    told(4),
    told(5),
    told(6, visit('d', 3, 10)),
  ];
  const seen = versions.map((_, i) => brief(versions.slice(0, i + 1))[0]!);
  expect(seen.map(({ name }) => name)).toEqual(Array(6).fill('a'));
  expect(seen.map(({ sequence }) => sequence)).toEqual([0, 1, 2, 3, 3, 4]);
  expect(seen.map(({ changedAt }) => changedAt)).toEqual([1, 2, 3, 4, 4, 6]);
  expect(seen.map(({ isCancelled }) => isCancelled)).toEqual([false, false, false, true, true, false]);
});

test('a visit called off and taken up on another day is a new one', () => {
  expect(brief([told(1, visit('a', 2, 9)), told(2), told(3, visit('b', 4, 9))])).toMatchObject([
    { name: 'a', isCancelled: true },
    { name: 'b', sequence: 0, isCancelled: false },
  ]);
});

test('of two visits, the one whose day stays keeps its name and is not revised', () => {
  const versions = [told(1, visit('a', 2, 9), visit('b', 5, 9)), told(2, visit('c', 5, 9), visit('d', 6, 9))];
  expect(brief(versions)).toMatchObject([
    { name: 'b', sequence: 0, day: '2026-06-15' },
    { name: 'a', sequence: 1, day: '2026-06-16' },
  ]);
});

test('a round on the road is not touched by what is published meanwhile', () => {
  const during = 2 * DAY_S + 8 * 3600;
  const versions = [
    told(1, visit('a', 2, 9)),
    // The new plan's round of the same shift is nobody's: the van has left.
    told(during, visit('b', 2, 11), visit('c', 4, 9)),
  ];
  expect(brief(versions)).toMatchObject([
    { name: 'a', sequence: 0, isCancelled: false, day: '2026-06-12' },
    { name: 'c', sequence: 0, day: '2026-06-14' },
  ]);
});

const anyVersions = fc
  .array(
    fc.array(fc.tuple(fc.integer({ min: 0, max: 6 }), fc.integer({ min: 8, max: 16 })), { maxLength: 4 }),
    {
      minLength: 1,
      maxLength: 8,
    },
  )
  .map((all) =>
    all.map((visits, v) =>
      told(
        v * 40_000,
        ...visits.map(([day, hour], i) => visit(`v${v}-${i}`, day, hour, { subject: `site-${i % 2}` })),
      ),
    ),
  );

test('with any versions: names are unique, sequences never fall, the open entries are what was last told', () => {
  fc.assert(
    fc.property(anyVersions, (versions) => {
      let before = new Map<string, { sequence: number; shown: string }>();
      for (let n = 1; n <= versions.length; n++) {
        const entries = followVisits(versions.slice(0, n));
        const now = new Map(
          entries.map((e) => [
            e.name,
            { sequence: e.sequence, shown: JSON.stringify([e.fromAt, e.untilAt, e.isCancelled]) },
          ]),
        );
        expect(now.size).toBe(entries.length);
        for (const [name, old] of before) {
          const entry = now.get(name)!;
          expect(entry.sequence - old.sequence).toBe(entry.shown === old.shown ? 0 : 1);
        }
        before = now;
        const { publishedAt, visits } = versions[n - 1]!;
        const show = (v: ToldVisit) => `${v.subject} ${v.fromAt}`;
        const driven = new Set(
          entries
            .filter((e) => e.changedAt < publishedAt && e.leavesAt <= publishedAt && !e.isCancelled)
            .map((e) => e.shiftId),
        );
        const open = entries.filter((e) => !e.isCancelled && !driven.has(e.shiftId)).map(show);
        expect(open.sort()).toEqual(
          visits
            .filter((v) => !driven.has(v.shiftId))
            .map(show)
            .sort(),
        );
      }
    }),
    { seed: 11, numRuns: 300 },
  );
});
