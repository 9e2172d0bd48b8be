import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { meanRateKg } from '../../src/core/accumulation/rate.ts';
import {
  BALED_FILM_KG_PER_M3,
  CARRIER_BAG_KG,
  carrierBagsKg,
  LOOSE_FILM_KG_PER_M3,
  litresOf,
  mixtureKgPerM3,
} from '../../src/core/quantity/film.ts';
import { listProducts } from '../../src/store/products.ts';
import { learnFills } from '../../src/usecases/learn-fills.ts';
import { openDemo } from '../fixtures/demo-app.ts';

const LB_KG = 0.45359237; // exact, International Yard and Pound Agreement 1959
const YD_M = 0.9144; // exact, the same

test('a kilogram is 123 thin carrier bags (Environment Agency SC030148: 8.12 g a bag, second hand)', () => {
  expect(Math.round(1 / CARRIER_BAG_KG)).toBe(123);
});

test('two governments agree on loose film within 4 % (GOV.UK Annex C: 20 kg/m³; US EPA 2016: 35 lb/yd³)', () => {
  const epa = (35 * LB_KG) / YD_M ** 3;
  expect(epa).toBeCloseTo(20.76, 2);
  expect(Math.abs(epa - LOOSE_FILM_KG_PER_M3) / epa).toBeLessThan(0.04);
});

test('a bale of 1,100 lb in 30 × 42 × 48 inches is 503 kg/m³ (US volume-to-weight sheet)', () => {
  const inch = YD_M / 36;
  expect((1100 * LB_KG) / (30 * 42 * 48 * inch ** 3)).toBeCloseTo(BALED_FILM_KG_PER_M3, 0);
});

test('55 % at 15 and 45 % at 36 kg/m³ mix to 20 (GOV.UK Annex C, footnote 1: 0.0203, published 0.020 t/m³)', () => {
  const mixed = mixtureKgPerM3([
    { massShare: 0.55, kgPerM3: 15 },
    { massShare: 0.45, kgPerM3: 36 },
  ]);
  expect(mixed).toBeCloseTo(20.34, 2);
  expect(Math.round(mixed)).toBe(20);
});

test('a cubic metre of loose film is about 20 kg: a van of 10 m³ is full long before a payload of a tonne', () => {
  expect(litresOf(20, LOOSE_FILM_KG_PER_M3)).toBe(1000);
  expect((10 * LOOSE_FILM_KG_PER_M3) / 1000).toBeLessThan(1);
});

test('the demo’s units take roughly a hundred bags, and its sites some tonnes a year (common practice, no source)', async () => {
  const demo = await openDemo();
  try {
    for (const product of listProducts(demo.context.store)) {
      const bags = product.filmKgPerUnit / carrierBagsKg(1);
      expect(bags).toBeGreaterThan(70);
      expect(bags).toBeLessThan(250);
    }
    const kgPerWeek = [...learnFills(demo.context.store).values()].reduce(
      (sum, { rate }) => sum + meanRateKg(rate),
      0,
    );
    expect((kgPerWeek * 52) / 1000).toBeGreaterThan(1);
    // "About a tonne a year" is the smallest workshop; the demo presses every day.
    expect((kgPerWeek * 52) / 1000).toBeLessThan(60);
  } finally {
    demo.close();
  }
});

test('every figure of the module stands beside its source', () => {
  const text = readFileSync('src/core/quantity/film.ts', 'utf8');
  for (const source of ['SC030148', 'Annex C', '35 lb/yd³']) expect(text).toContain(source);
});
