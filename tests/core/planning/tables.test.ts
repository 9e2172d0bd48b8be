import fc from 'fast-check';
import { expect, test } from 'vitest';
import { accrualBetween, fillAt, meanKg, overflowRisk } from '../../../src/core/accumulation/forecast.ts';
import { buildTables } from '../../../src/core/planning/tables.ts';
import {
  leftAtEndMicros,
  loadCosts,
  longRunMicrosPerDay,
  visitCosts,
} from '../../../src/core/planning/terminal.ts';
import { visitInstants } from '../../../src/core/planning/visit-days.ts';
import { at, randomTown, siteModel, somePrices } from '../../fixtures/planning-problems.ts';

const withModel = (model: Partial<Parameters<typeof siteModel>[1]>) => {
  const town = randomTown(1, { sites: 1, days: 3 });
  const { besideKg: _, ...site } = town.sites[0]!;
  return { ...town, sites: [{ ...site, model: siteModel('site-0', model) }] };
};

test('a container that is certainly too full costs its event, its days and its kilograms', () => {
  // Nothing accrues (rate 0), 70 kg wait, 60 fit. Monday 00:00 now, visit days at noon.
  const town = withModel({ rate: { a: 12, b: 0, asOf: 0 }, leftKg: 70, capacityKg: 60 });
  const [table] = buildTables(town);
  const { nodes, overflowMicros, massKg, risk } = table!;
  expect(nodes).toBe(5);
  // Visited on day 1 (node 2): 10 once + 2 days (days 0 and 1) x 10 + 10 kg x 1 = 40.
  expect(overflowMicros[2]).toBe(40_000_000);
  // Never visited: three days by the end: 10 + 30 + 10 = 50; the end itself is no day.
  expect(overflowMicros[4]).toBe(50_000_000);
  expect(massKg[2]).toBe(60);
  expect(risk[2]).toBe(1);
  // Emptied on day 0, nothing comes after.
  expect(overflowMicros[1 * nodes + 4]).toBe(0);
  expect(massKg[1 * nodes + 4]).toBe(0);
});

test('sacks beside a container are fetched, and still count as overflow as long as they stand there', () => {
  const town = withModel({ rate: { a: 12, b: 0, asOf: 0 }, leftKg: 70, capacityKg: 60 });
  const [table] = buildTables({ ...town, sites: [{ ...town.sites[0]!, besideKg: 8 }] });
  // 68 of the 70 kg are held. Visited on day 1: 10 once + 2 days x 10 + 2 kg lost = 32.
  expect(table!.massKg[2]).toBe(68);
  expect(table!.overflowMicros[2]).toBe(32_000_000);
});

test('mass and risk are those of the forecast at noon of the day', () => {
  const town = withModel({ weeklyKg: 50, capacityKg: 30 });
  const [table] = buildTables(town);
  const { model } = town.sites[0]!;
  const { nodes } = table!;
  expect(table!.risk[3]).toBe(overflowRisk(fillAt(model, at(2, 12)), 30));
  const since = accrualBetween(model, at(0, 12), at(2, 12));
  expect(table!.risk[1 * nodes + 3]).toBe(overflowRisk(since, 30));
  expect(table!.massKg[1 * nodes + 3]!).toBeLessThan(meanKg(since));
});

test('what a visit takes, the next one no longer finds', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 5000 }), fc.integer({ min: 0, max: 5 }), (seed, day) => {
      // Containers without a brim, so that no film is lost beside them.
      const town = randomTown(seed, { sites: 2, days: 7 });
      const sites = town.sites.map((site) => ({ ...site, model: { ...site.model, capacityKg: 1e7 } }));
      const shifts = town.shifts.map((shift) => ({ ...shift, payloadKg: 1e8, loadSpaceL: 1e10 }));
      for (const { nodes, massKg } of buildTables({ ...town, sites, shifts })) {
        const h = day + 1;
        for (let b = h + 1; b < nodes; b++)
          expect(massKg[h]! + massKg[h * nodes + b]!).toBeCloseTo(massKg[b]!, 4);
      }
    }),
    { numRuns: 30 },
  );
});

test('waiting longer never lowers overflow, and a mass never exceeds its container', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 5000 }), (seed) => {
      const town = randomTown(seed, { sites: 3, days: 7 });
      buildTables(town).forEach(({ nodes, massKg, varianceKg2, overflowMicros, risk }, i) => {
        const { model, besideKg = 0 } = town.sites[i]!;
        const capacityKg = model.capacityKg + besideKg;
        for (let a = 0; a < nodes - 1; a++)
          for (let b = a + 1; b < nodes; b++) {
            const entry = a * nodes + b;
            expect(massKg[entry]).toBeGreaterThanOrEqual(0);
            expect(massKg[entry]).toBeLessThanOrEqual(capacityKg + 1e-6);
            expect(varianceKg2[entry]).toBeLessThanOrEqual(
              massKg[entry]! * (capacityKg - massKg[entry]!) + 1e-3,
            );
            if (b === a + 1) continue;
            expect(overflowMicros[entry]).toBeGreaterThanOrEqual(0.98 * overflowMicros[entry - 1]!);
            // A forecast widens with its date even where nothing accrues, so a high risk may ease a little.
            expect(risk[entry]).toBeGreaterThanOrEqual(risk[entry - 1]! - 0.02);
          }
      });
    }),
    { numRuns: 20 },
  );
});

test('a visit counts at noon, or now where noon is past', () => {
  const town = randomTown(1, { sites: 1, days: 2 });
  expect(visitInstants(town)).toEqual([at(0, 0), at(0, 12), at(1, 12), at(2, 0)]);
  expect(visitInstants({ ...town, nowAt: at(0, 15) })).toEqual([at(0, 15), at(0, 15), at(1, 12), at(2, 0)]);
});

test('the long-run cost per day is the best cycle, worked by hand', () => {
  // Full on the fourth day after emptying with certainty, 2 kg beside it then and 1 more each day.
  const ahead = (days: number) => ({
    risk: days >= 4 ? 1 : 0,
    excessKg: Math.max(0, days - 2) * (days >= 4 ? 1 : 0),
  });
  // Cycles: 3 days: 6 / 3 = 2. 4 days: (6 + 10 + 10 + 2) / 4 = 7. So g = 2 a day.
  expect(longRunMicrosPerDay(6_000_000, somePrices, ahead)).toBe(2_000_000);
  // Emptied a day before the end: full three days after it. Waiting two days: 6 - 2 x 2 = 2; three: more.
  const fromEnd = (days: number) => ahead(days + 1);
  expect(leftAtEndMicros(6_000_000, 2_000_000, somePrices, ahead(1), fromEnd)).toBe(2_000_000);
  // Just emptied: waits three days, worth 6 - 3 x 2 = 0: nothing is owed.
  expect(leftAtEndMicros(6_000_000, 2_000_000, somePrices, ahead(0), ahead)).toBe(0);
  // Already full: go at once.
  expect(leftAtEndMicros(6_000_000, 2_000_000, somePrices, ahead(5), (d) => ahead(d + 5))).toBe(6_000_000);
});

test('a visit is priced by its service, half the legs to neighbours and a part of the way out', () => {
  const town = randomTown(3, { sites: 1, days: 1 });
  const legs = town.travel;
  const price = (from: number, to: number) =>
    legs.legM[from * legs.places + to]! * 450 + (legs.legS[from * legs.places + to]! * 20_000_000) / 3600;
  const service = (town.sites[0]!.serviceS * 20_000_000) / 3600;
  // Alone in town: the whole way there and back.
  expect(visitCosts(town)[0]).toBeCloseTo(service + price(0, 1) + price(1, 0), 3);
  const two = randomTown(3, { sites: 2, days: 1 });
  const legs2 = two.travel;
  const price2 = (from: number, to: number) =>
    legs2.legM[from * 3 + to]! * 450 + (legs2.legS[from * 3 + to]! * 20_000_000) / 3600;
  // One neighbour counts as the first and the third.
  expect(visitCosts(two)[0]).toBeCloseTo(
    (two.sites[0]!.serviceS * 20_000_000) / 3600 + price2(1, 2) + 0.15 * price2(0, 1),
    3,
  );
});

test('what is left has its part of a van’s way home still to come, whoever fetches it', () => {
  const town = randomTown(3, { sites: 2, days: 1 });
  const { legM, legS } = town.travel;
  const price = (from: number, to: number) =>
    legM[from * 3 + to]! * 450 + (legS[from * 3 + to]! * 20_000_000) / 3600;
  const unload = town.prices.unloadMicros + (town.prices.unloadS * 20_000_000) / 3600;
  const whole = price(0, 1) + price(1, 0) + unload;
  expect(loadCosts(town)[0]).toBeCloseTo(whole, 3);
  // Nothing comes any more and no overflow threatens: 10 kg that stay are worth nothing to their own site but the way.
  const left = (leftKg: number): number => {
    const model = siteModel('site-0', {
      rate: { a: 12, b: 0, asOf: 0 },
      leftKg,
      capacityKg: 60,
      litresPerKg: 50,
    });
    const { calls: _, besideKg: __, ...site } = town.sites[0]!;
    const shifts = town.shifts.map((shift) => ({ ...shift, payloadKg: 1000, loadSpaceL: 8000 }));
    return buildTables({ ...town, shifts, sites: [{ ...site, model }, town.sites[1]!] })[0]!
      .leftAtEndMicros[0]!;
  };
  // A van of 8000 L takes 160 kg of film at 50 L/kg.
  expect(left(10) - left(0)).toBeCloseTo((whole * 10) / 160, -1);
  // Alone in town the price of the visit has the whole way.
  expect(loadCosts(randomTown(3, { sites: 1, days: 1 }))[0]).toBe(0);
});
