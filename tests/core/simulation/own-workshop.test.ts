/** A drawn world at a workshop's own size: what is scaled, and what must not change. */
import { describe, expect, test } from 'vitest';
import type { OwnWorkshop } from '../../../src/core/simulation/own-workshop.ts';
import { makePolicy, POLICY_NAMES } from '../../../src/core/simulation/policies.ts';
import { makeWorld, USUAL_WORLD } from '../../../src/core/simulation/world.ts';
import { MEAN_SERVICE_S, MEAN_SITE_KG_PER_WEEK } from '../../../src/core/simulation/world-site.ts';
import { simulateYear } from '../../../src/core/simulation/year.ts';
import { YEAR_PARTS } from '../../../src/core/simulation/year-result.ts';

const drawn = makeWorld(3, { ...USUAL_WORLD, donors: 10, weeks: 6 });
/** The drawn workshop described as somebody's own. */
const SAME: OwnWorkshop = {
  van: drawn.van,
  shiftHours: drawn.shiftHours,
  shiftDays: drawn.shiftDays,
  breakRule: drawn.breakRule,
  meanServiceS: MEAN_SERVICE_S,
  kgPerSiteWeek: MEAN_SITE_KG_PER_WEEK,
  litresPerKg: 50,
  productionShare: 0.95,
  storeLimitKg: drawn.storeLimitKg,
  buyPriceMicrosPerKg: { 'ldpe-clear': 1_500_000, 'ldpe-printed': 1_200_000, 'hdpe-white': 1_300_000 },
  usualBuyPriceMicrosPerKg: 9,
  detourFactor: 1.3,
  speedKmh: 35,
  donorsCall: true,
};
const world = (over: Partial<OwnWorkshop>) =>
  makeWorld(3, { ...USUAL_WORLD, donors: 10, weeks: 6, own: { ...SAME, ...over } });
const drive = (over: Partial<OwnWorkshop>, name: (typeof POLICY_NAMES)[number]) => {
  const policy = makePolicy(name, { iterations: 10, horizonDays: 7, loadQuantile: 0.5 });
  const year = simulateYear(world(over), policy);
  let step = year.next();
  const days: number[] = [];
  for (; !step.done; step = year.next()) days.push(step.value);
  return step.value;
};

test('a workshop of the drawn size is the drawn workshop', () => {
  expect(world({})).toEqual(drawn);
});

test('half the film: half of what comes, of what is drawn and of every container, in litres as in kg', () => {
  const half = world({ kgPerSiteWeek: MEAN_SITE_KG_PER_WEEK / 2 });
  half.sites.forEach((site, i) => {
    const before = drawn.sites[i]!;
    expect(site.capacityKg).toBeCloseTo(before.capacityKg / 2, 9);
    site.massByDayKg.forEach((kg, day) => {
      expect(kg).toBeCloseTo(before.massByDayKg[day]! / 2, 9);
    });
    const litres = site.known.containers.reduce((sum, box) => sum + box.count * box.litresEach, 0);
    expect(litres / site.known.litresPerKg).toBeCloseTo(site.capacityKg, 9);
  });
  expect(half.drawKg[1]![0]).toBeCloseTo(drawn.drawKg[1]![0]! / 2, 9);
});

test('a grade without a price of its own costs the workshop’s usual one', () => {
  expect(world({ buyPriceMicrosPerKg: { 'ldpe-clear': 7 } }).buyPriceMicrosPerKg).toEqual([7, 9, 9]);
});

describe.each(POLICY_NAMES)('%s', (name) => {
  test('drives on the workshop’s own days only, and its money adds up', () => {
    const year = drive({ shiftDays: [false, true, false, false, true, false, false] }, name);
    expect(year.rounds).toBeGreaterThan(0);
    // Six weeks, three of them scored, two days each.
    expect(year.rounds).toBeLessThanOrEqual(6);
    expect(YEAR_PARTS.reduce((total, part) => total + year.money[part], 0)).toBe(year.costMicros);
  });
});

test('where nobody is counted on to call, nobody does', () => {
  expect(drive({ donorsCall: false }, 'nearest').calls).toBe(0);
  expect(drive({}, 'nearest').calls).toBeGreaterThan(0);
});
