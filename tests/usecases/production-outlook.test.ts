/** Production under a plan, over the demo town: what is short, what it costs, what to shift; and how each is said. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { inTransaction } from '../../src/store/db.ts';
import { listProductionBetween, saveProductionDay } from '../../src/store/production.ts';
import { listProducts } from '../../src/store/products.ts';
import { planWeek } from '../../src/usecases/plan-week.ts';
import { productionOutlook, readProductionOutlook } from '../../src/usecases/production-outlook.ts';
import { plainSpaces } from '../../src/web/shared/format.ts';
import { adviceSentence, buyInSentence, safeFor } from '../../src/web/shared/production-words.ts';
import { type Demo, ORIGIN, openDemo, planInPlace } from '../fixtures/demo-app.ts';

let demo: Demo;
const DAYS = ['2026-06-15', '2026-06-16', '2026-06-17', '2026-06-18', '2026-06-19'] as const;

/** All black film is pressed on Tuesday, more than there is; the kneelers of the week on Thursday. */
function pressBlackEarly() {
  inTransaction(demo.context.store, (tx) => {
    const [kneeler, tray] = listProducts(tx);
    for (const day of DAYS)
      for (const product of [kneeler!, tray!]) {
        const units =
          day === DAYS[1] && product === tray ? 420 : day === DAYS[3] && product === kneeler ? 300 : 0;
        saveProductionDay(tx, { productId: product.id, productKey: product.key, day, units, doneAt: null });
      }
  });
}

beforeAll(async () => {
  demo = await openDemo();
});
afterAll(() => demo.close());

test('without a plan there is nothing to say', () => {
  expect(readProductionOutlook(demo.context.store, demo.context.now())).toBeUndefined();
});

describe('with everything pressed on Tuesday', () => {
  beforeAll(async () => {
    pressBlackEarly();
    await planWeek(demo.context, planInPlace, { seed: 1, iterations: 300, actor: 'test' });
  });
  const read = () => readProductionOutlook(demo.context.store, demo.context.now())!;

  test('what is to be bought in is the sum over the grades, and inside its interval', () => {
    const { grades, buyKg, buyMicros, buyLowKg, buyHighKg } = read();
    expect(buyKg).toBeGreaterThan(5);
    expect(grades.reduce((sum, grade) => sum + grade.buyKg, 0)).toBeCloseTo(buyKg, 2);
    expect(grades.reduce((sum, grade) => sum + grade.buyMicros, 0)).toBe(buyMicros);
    expect(buyLowKg).toBeLessThanOrEqual(buyKg);
    expect(buyHighKg).toBeGreaterThanOrEqual(buyKg);
    // The grade that is short first stands on top.
    expect(grades[0]!.safeDays).toBe(Math.min(...grades.map((grade) => grade.safeDays)));
    expect(grades[0]!.safeDays).toBeLessThan(2);
  });

  test('what is advised comes true: pressed as advised, that much less is bought', async () => {
    const { store } = demo.context;
    const [best] = read().advice;
    expect(best?.avoidsKg).toBeGreaterThan(5);
    expect(best!.lowKg).toBeLessThanOrEqual(best!.highKg);
    const before = read();
    const products = new Map(listProducts(store).map((product) => [product.name, product]));
    const runs = listProductionBetween(store, DAYS[0], DAYS[4]);
    const unitsOn = (productId: string, day: string) =>
      runs.find((run) => run.productId === productId && run.day === day)?.units ?? 0;
    // The same plan, its rounds unchanged, priced over the production that was advised.
    const { plan } = await planWeek(demo.context, planInPlace, { seed: 1, iterations: 300, actor: 'test' });
    const again = read();
    expect(again.buyKg).toBeCloseTo(before.buyKg, 6);
    inTransaction(store, (tx) => {
      for (const move of best!.moves) {
        const { id: productId, key: productKey } = products.get(move.product)!;
        const save = (day: string, units: number) =>
          saveProductionDay(tx, { productId, productKey, day, units, doneAt: null });
        save(move.fromDay, unitsOn(productId, move.fromDay) - move.units);
        save(move.toDay, unitsOn(productId, move.toDay) + move.units);
      }
    });
    const { buildPlanningProblem } = await import('../../src/usecases/build-planning-problem.ts');
    const problem = buildPlanningProblem(store, demo.context.now(), {
      firstDay: plan.firstDay,
      days: plan.days.length,
    });
    const after = productionOutlook(store, demo.context.now(), problem, plan);
    expect(before.buyKg - after.buyKg).toBeCloseTo(best!.avoidsKg, 2);
    pressBlackEarly();
  });

  test('a run that is done stays where it is', async () => {
    const { store } = demo.context;
    inTransaction(store, (tx) => {
      const run = listProductionBetween(tx, DAYS[1], DAYS[1]).find((one) => one.units > 0)!;
      saveProductionDay(tx, { ...run, doneAt: demo.context.now() });
    });
    const from = read().advice.flatMap(({ moves }) => moves.map((move) => move.fromDay));
    expect(from).not.toContain(DAYS[1]);
    pressBlackEarly();
  });

  test('it is said in words on the page, and given by the interface', async () => {
    const outlook = read();
    const headers = { authorization: `Bearer ${demo.signIn('coordinator')}`, origin: ORIGIN };
    const page = plainSpaces(await (await demo.app.request('/production', { headers })).text());
    expect(page).toContain(plainSpaces(buyInSentence(outlook, 'EUR')));
    expect(page).toContain('What production could shift');
    expect(page).toContain(outlook.advice[0]!.moves[0]!.product);
    const answer = await demo.app.request('/api/production/outlook', { headers });
    expect(answer.status).toBe(200);
    expect(await answer.json()).toMatchObject({
      buy_kg: outlook.buyKg,
      advice: [{ avoids_kg: outlook.advice[0]!.avoidsKg }, ...outlook.advice.slice(1).map(() => ({}))],
    });
    expect((await demo.app.request('/api/production/outlook?plan=nowhere', { headers })).status).toBe(404);
    expect(demo.faults).toEqual([]);
  });
});

test('how advice reads', () => {
  const move = { product: 'Tray', units: 42, isWhole: true, fromDay: '2026-06-16', toDay: '2026-06-18' };
  const amounts = {
    savesMicros: 9_000_000,
    avoidsKg: 12,
    lowKg: 3,
    highKg: 25,
    grade: 'ldpe-black' as const,
  };
  const say = (moves: readonly (typeof move)[]) => plainSpaces(adviceSentence({ ...amounts, moves }, 'EUR'));
  const why = 'avoids buying about 12 kg (3–25 kg), mostly LDPE black, and saves €9.00.';
  expect(say([move])).toBe(`Press Tray on Thu 18 Jun instead of Tue 16 Jun (42 units): ${why}`);
  expect(say([{ ...move, units: 21, isWhole: false }])).toBe(
    `Press 21 units of Tray on Thu 18 Jun instead of Tue 16 Jun: ${why}`,
  );
  const other = { ...move, product: 'Kneeler', units: 1, fromDay: '2026-06-18', toDay: '2026-06-16' };
  expect(say([move, other])).toBe(
    `Exchange Tray on Tue 16 Jun (42 units) with Kneeler on Thu 18 Jun (1 unit): ${why}`,
  );
  expect([safeFor(7, 7), safeFor(0, 7), safeFor(1, 7), safeFor(3, 7)]).toEqual([
    'all 7 days',
    'not one day',
    '1 day',
    '3 days',
  ]);
});
