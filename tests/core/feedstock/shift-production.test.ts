/** What production could shift: by hand where all is certain, and against every shift tried by other code. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  bestShifts,
  drawAfter,
  type PlannedRun,
  possibleShifts,
  type StoreCost,
} from '../../../src/core/feedstock/shift-production.ts';

const PRICE = 1_000_000;
/** Certain arrivals by day and grade, no stock: what is missing is bought, and stays. */
const certain =
  (arriving: readonly (readonly number[])[]) =>
  (drawKg: readonly (readonly number[])[]): StoreCost => {
    const boughtKg = arriving[0]!.map((_, grade) => {
      let needed = 0;
      let bought = 0;
      drawKg.forEach((day, d) => {
        needed += day[grade]! - arriving[d]![grade]!;
        bought = Math.max(bought, needed);
      });
      return bought;
    });
    const sum = boughtKg.reduce((a, b) => a + b, 0);
    return { micros: Math.round(PRICE * sum), boughtKg, boughtAtKg: [sum, sum, sum] };
  };
const run = (
  productId: string,
  day: number,
  units: number,
  drawKgPerUnit: readonly number[],
): PlannedRun => ({
  productId,
  day,
  units,
  drawKgPerUnit,
  filmKgPerUnit: drawKgPerUnit.reduce((a, b) => a + b, 0),
});
const drawOf = (days: number, grades: number, runs: readonly PlannedRun[]): number[][] =>
  Array.from({ length: days }, (_, day) =>
    Array.from({ length: grades }, (_, grade) =>
      runs
        .filter((one) => one.day === day)
        .reduce((sum, one) => sum + one.units * one.drawKgPerUnit[grade]!, 0),
    ),
  );
const MOST = { count: 9, leastMicros: 1 };

describe('by hand', () => {
  // Black is pressed on day 1 and comes on day 3 only; clear is there from the start.
  const runs = [run('tray', 1, 6, [0, 2]), run('kneeler', 3, 10, [1, 0])];
  const draw = drawOf(5, 2, runs);
  const cost = certain([
    [10, 0],
    [0, 0],
    [0, 0],
    [0, 12],
    [0, 0],
  ]);
  const rules = { isOpen: [true, true, true, true, true], mostFilmKg: 12 };

  test('pressing black on day 4 instead of day 1 avoids buying 12 kg', () => {
    const [best, ...rest] = bestShifts(draw, runs, rules, cost, MOST);
    // Day 3 presses 10 kg already, so 12 more are too much for it: day 4, or an exchange with the kneelers.
    expect(best).toEqual({
      shift: [{ productId: 'tray', units: 6, from: 1, to: 4 }],
      savesMicros: 12 * PRICE,
      avoidsKg: 12,
      lowKg: 12,
      highKg: 12,
      avoidsByGradeKg: [0, 12],
    });
    expect(rest).toEqual([]);
  });

  test('where the press is closed on day 4 the two runs are exchanged', () => {
    const open = { ...rules, isOpen: [true, true, true, true, false] };
    expect(bestShifts(draw, runs, open, cost, MOST)[0]).toMatchObject({
      shift: [
        { productId: 'tray', units: 6, from: 1, to: 3 },
        { productId: 'kneeler', units: 10, from: 3, to: 1 },
      ],
      avoidsKg: 12,
    });
  });

  test('half a run fits where a whole one does not', () => {
    const tight = { isOpen: [false, true, false, false, true], mostFilmKg: 6 };
    expect(bestShifts(draw, runs, tight, cost, MOST)[0]).toMatchObject({
      shift: [{ productId: 'tray', units: 3, from: 1, to: 4 }],
      avoidsKg: 6,
    });
  });

  test('nothing is proposed where nothing is saved, or too little to ask for', () => {
    const plenty = certain([
      [10, 12],
      [0, 0],
      [0, 0],
      [0, 0],
      [0, 0],
    ]);
    expect(bestShifts(draw, runs, rules, plenty, MOST)).toEqual([]);
    expect(bestShifts(draw, runs, rules, cost, { count: 9, leastMicros: 13 * PRICE })).toEqual([]);
  });

  test('a run is not moved from or to a day that is over', () => {
    const late = { ...rules, isOpen: [false, false, true, true, true] };
    expect(bestShifts(draw, runs, late, cost, MOST)).toEqual([]);
  });
});

const town = fc.record({
  runs: fc.uniqueArray(
    fc.record({
      productId: fc.constantFrom('a', 'b', 'c'),
      day: fc.integer({ min: 0, max: 3 }),
      units: fc.integer({ min: 1, max: 8 }),
      kg: fc.tuple(fc.integer({ min: 0, max: 3 }), fc.integer({ min: 1, max: 3 })),
    }),
    { maxLength: 6, selector: ({ productId, day }) => `${productId} ${day}` },
  ),
  isOpen: fc.array(fc.boolean(), { minLength: 4, maxLength: 4 }),
  mostFilmKg: fc.integer({ min: 5, max: 40 }),
  arriving: fc.array(fc.tuple(fc.integer({ min: 0, max: 9 }), fc.integer({ min: 0, max: 9 })), {
    minLength: 4,
    maxLength: 4,
  }),
});

test('whatever is proposed keeps every unit and every day’s measure, and saves what it says', () => {
  fc.assert(
    fc.property(town, ({ runs: drawn, isOpen, mostFilmKg, arriving }) => {
      const runs = drawn.map(({ productId, day, units, kg }) => run(productId, day, units, kg));
      const draw = drawOf(4, 2, runs);
      const filmOf = (rows: readonly (readonly number[])[]) =>
        rows.map((day) => day.reduce((a, b) => a + b, 0));
      const cost = certain(arriving);
      for (const { shift, savesMicros } of bestShifts(draw, runs, { isOpen, mostFilmKg }, cost, MOST)) {
        const after = drawAfter(draw, runs, shift);
        [0, 1].forEach((grade) => {
          const sum = (rows: readonly (readonly number[])[]) => rows.reduce((kg, day) => kg + day[grade]!, 0);
          expect(sum(after)).toBeCloseTo(sum(draw), 9);
        });
        filmOf(after).forEach((kg, day) => {
          const before = filmOf(draw)[day]!;
          expect(kg <= Math.max(mostFilmKg, before) + 1e-9).toBe(true);
          if (!isOpen[day]) expect(kg).toBe(before);
        });
        expect(savesMicros).toBe(cost(draw).micros - cost(after).micros);
      }
    }),
  );
});

test('the first proposal saves as much as the best of all shifts, tried one by one', () => {
  fc.assert(
    fc.property(town, ({ runs: drawn, isOpen, mostFilmKg, arriving }) => {
      const runs = drawn.map(({ productId, day, units, kg }) => run(productId, day, units, kg));
      const cost = certain(arriving);
      const bought = (list: readonly PlannedRun[]) => cost(drawOf(4, 2, list)).micros;
      const film = (list: readonly PlannedRun[], day: number) =>
        list.filter((one) => one.day === day).reduce((kg, one) => kg + one.units * one.filmKgPerUnit, 0);
      const isFit = (list: readonly PlannedRun[]) =>
        [0, 1, 2, 3].every((day) => film(list, day) <= Math.max(mostFilmKg, film(runs, day)) + 1e-9);
      const tried: PlannedRun[][] = [];
      runs.forEach((one, i) => {
        const others = runs.filter((_, k) => k !== i);
        for (const day of [0, 1, 2, 3]) {
          if (!isOpen[day] || !isOpen[one.day]) continue;
          for (const units of [one.units, Math.floor(one.units / 2)])
            tried.push([...others, { ...one, units: one.units - units }, { ...one, units, day }]);
        }
        runs.forEach((two, k) => {
          if (k === i || one.productId === two.productId || !isOpen[one.day] || !isOpen[two.day]) return;
          const rest = runs.filter((_, n) => n !== i && n !== k);
          tried.push([...rest, { ...one, day: two.day }, { ...two, day: one.day }]);
        });
      });
      const most = Math.max(0, ...tried.filter(isFit).map((list) => bought(runs) - bought(list)));
      const [best] = bestShifts(drawOf(4, 2, runs), runs, { isOpen, mostFilmKg }, cost, MOST);
      expect(best?.savesMicros ?? 0).toBe(most);
    }),
  );
});

test('no shift is offered twice', () => {
  const runs = [run('a', 0, 4, [1]), run('b', 1, 1, [2]), run('c', 2, 6, [1])];
  const all = possibleShifts(runs, { isOpen: [true, true, true], mostFilmKg: 100 }).map((shift) =>
    JSON.stringify(shift),
  );
  expect(new Set(all).size).toBe(all.length);
  // a: 2 days × (4, 2 units); b: 2 × 1 (half of one is none); c: 2 × (6, 3); three exchanges.
  expect(all).toHaveLength(4 + 2 + 4 + 3);
});
