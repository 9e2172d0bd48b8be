/**
 * Distribution functions against a general-purpose reference library (stdlib, Apache-2.0, devDependency) on
 * wide grids, and against printed values. Sources: facts.md E9.
 */
import betaCdfReference from '@stdlib/stats-base-dists-beta-cdf';
import betaQuantileReference from '@stdlib/stats-base-dists-beta-quantile';
import gammaCdfReference from '@stdlib/stats-base-dists-gamma-cdf';
import gammaQuantileReference from '@stdlib/stats-base-dists-gamma-quantile';
import { expect, test } from 'vitest';
import {
  betaCdf,
  betaPrimeCdf,
  betaPrimeQuantile,
  betaPrimeSf,
  betaQuantile,
  gammaCdf,
  gammaQuantile,
  gammaSf,
  lgamma,
  normalCdf,
} from '../../src/core/quantity/special.ts';

const SHAPES = [0.01, 0.1, 0.5, 0.9, 1, 1.5, 3, 7, 20, 33, 84, 150, 400, 1500];
/** The reference library's gamma functions are off in the second digit at shape 1500 (mpmath, 40 digits, tells). */
const GAMMA_SHAPES = SHAPES.filter((shape) => shape <= 400);
const PROBABILITIES = [1e-8, 1e-4, 0.01, 0.025, 0.1, 0.25, 0.5, 0.75, 0.9, 0.975, 0.99, 0.9999];

const relative = (got: number, wanted: number) => Math.abs(got - wanted) / Math.max(Math.abs(wanted), 1e-290);

test('log gamma of whole and half numbers equals the sum of logs and the closed form', () => {
  let logFactorial = 0;
  for (let n = 1; n <= 300; n++) {
    expect(Math.abs(lgamma(n) - logFactorial)).toBeLessThan(1e-13 * Math.max(1, logFactorial));
    logFactorial += Math.log(n);
  }
  let half = 0.5 * Math.log(Math.PI);
  for (let n = 0; n < 200; n++) {
    expect(Math.abs(lgamma(n + 0.5) - half)).toBeLessThan(1e-12 * Math.max(1, Math.abs(half)));
    half += Math.log(n + 0.5);
  }
});

test('the gamma distribution function agrees with the reference library to 1e-11 over shapes 0.01 to 400', () => {
  let worst = 0;
  for (const shape of GAMMA_SHAPES) {
    for (const scale of [0.2, 1, 30]) {
      for (const factor of [1e-6, 0.01, 0.2, 0.5, 0.8, 0.95, 1, 1.05, 1.3, 2, 4]) {
        const x = factor * shape * scale;
        const wanted = gammaCdfReference(x, shape, 1 / scale);
        if (wanted < 1e-280) continue;
        worst = Math.max(worst, relative(gammaCdf(x, shape, scale), wanted));
        expect(Math.abs(gammaCdf(x, shape, scale) + gammaSf(x, shape, scale) - 1)).toBeLessThan(1e-12);
      }
    }
  }
  expect(worst).toBeLessThan(1e-11);
});

test('gamma quantiles agree with the reference library to 1e-10', () => {
  let worst = 0;
  for (const shape of GAMMA_SHAPES) {
    for (const p of PROBABILITIES) {
      const wanted = gammaQuantileReference(p, shape, 0.5);
      if (!(wanted > 1e-100)) continue;
      worst = Math.max(worst, relative(gammaQuantile(p, shape, 2), wanted));
    }
  }
  expect(worst).toBeLessThan(1e-10);
});

test('the beta distribution function agrees with the reference library to 1e-11 over shapes 0.01 to 1500', () => {
  let worst = 0;
  for (const a of SHAPES) {
    for (const b of SHAPES) {
      for (const x of [1e-9, 1e-4, 0.03, 0.2, 0.4, 0.5, 0.6, 0.8, 0.97, 0.9999]) {
        const wanted = betaCdfReference(x, a, b);
        if (wanted < 1e-280) continue;
        worst = Math.max(worst, relative(betaCdf(x, a, b), wanted));
      }
    }
  }
  expect(worst).toBeLessThan(1e-11);
});

test('beta quantiles agree with the reference library to 1e-9', () => {
  let worst = 0;
  for (const a of SHAPES.filter((shape) => shape >= 0.5)) {
    for (const b of SHAPES.filter((shape) => shape >= 0.5)) {
      for (const p of PROBABILITIES) {
        const wanted = betaQuantileReference(p, a, b);
        const y = 1 - wanted;
        if (wanted < 1e-12 || y < 1e-4) continue;
        worst = Math.max(worst, relative(betaQuantile(p, a, b), wanted));
      }
    }
  }
  expect(worst).toBeLessThan(1e-9);
});

test('a quantile of the beta-prime distribution gives its probability back, in both tails', () => {
  for (const a of [0.02, 0.3, ...SHAPES]) {
    for (const b of [2.5, 3, 8, 33, 400]) {
      for (const p of PROBABILITIES) {
        const x = betaPrimeQuantile(p, a, b);
        if (x < 1e-290) continue;
        const back = p <= 0.5 ? betaPrimeCdf(x, a, b) / p : betaPrimeSf(x, a, b) / (1 - p);
        expect(Math.abs(back - 1), `a ${a} b ${b} p ${p}`).toBeLessThan(1e-10);
      }
    }
  }
});

// Any table of the normal distribution; 0.975 at 1.959964, 0.8413447 at 1.
test('the normal distribution function gives the table values', () => {
  expect(normalCdf(1.959963984540054)).toBeCloseTo(0.975, 12);
  expect(normalCdf(1)).toBeCloseTo(0.8413447460685429, 12);
  expect(normalCdf(-3)).toBeCloseTo(0.0013498980316300933, 12);
});

// F distribution, upper 5 % points, printed in every statistics table: F(5,10) 3.33, F(10,20) 2.35, F(1,10) 4.96,
// upper 1 %: F(5,10) 5.64. From memory, two decimals as printed.
test('the scaled F gives the printed points of the F table', () => {
  const pointOfF = (p: number, d1: number, d2: number) => betaPrimeQuantile(p, d1 / 2, d2 / 2) * (d2 / d1);
  expect(pointOfF(0.95, 5, 10)).toBeCloseTo(3.33, 2);
  expect(pointOfF(0.95, 10, 20)).toBeCloseTo(2.35, 2);
  expect(pointOfF(0.95, 1, 10)).toBeCloseTo(4.96, 2);
  expect(pointOfF(0.99, 5, 10)).toBeCloseTo(5.64, 2);
});

// mpmath 1.3.0 at 40 digits: gammainc and betainc, regularized.
test.each([
  [1500, 1500, 0.5034335611603487],
  [1500, 1575, 0.9721706283013912],
  [1500, 1400, 0.00423108034851712],
  [20000, 20100, 0.7606167055614177],
])('the gamma distribution function at shape %d and x %d is %d', (shape, x, wanted) => {
  expect(relative(gammaCdf(x, shape, 1), wanted)).toBeLessThan(2e-12);
});

test.each([
  [1500, 400, 0.8, 0.8704821409094572],
  [0.01, 400, 1e-4, 0.9734565959558563],
  [84, 3, 0.97, 0.5212358673926979],
  [20000, 400, 0.98, 0.3381513560012511],
])('the beta distribution function at %d, %d and x %d is %d', (a, b, x, wanted) => {
  expect(relative(betaCdf(x, a, b), wanted)).toBeLessThan(1e-12);
});
