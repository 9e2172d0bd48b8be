/** Textbook worked examples of the gamma family, through our own distribution functions. */
import { expect, test } from 'vitest';
import { betaCdf, gammaCdf, gammaQuantile, gammaSf } from '../../src/core/quantity/special.ts';

/** P(theta > x) for Gamma(shape, rate). */
const above = (x: number, shape: number, rate: number): number => gammaSf(x, shape, 1 / rate);

/** Negative binomial: P(Y <= k) = I_p(r, k + 1) with p = rate / (rate + exposure), the gamma-Poisson predictive. */
const predictive = (k: number, shape: number, rate: number, exposure: number): number => {
  const p = rate / (rate + exposure);
  const upTo = (j: number): number => (j < 0 ? 0 : betaCdf(p, shape, j + 1));
  return upTo(k) - upTo(k - 1);
};

test('asthma deaths: Gamma(3,5) with 3 cases in 2 becomes Gamma(6,7) (Gelman et al., Bayesian Data Analysis 3rd ed., 2.6)', () => {
  expect(gammaCdf(1.44, 3, 1 / 5)).toBeCloseTo(0.975, 2);
  expect(6 / 7).toBeCloseTo(0.86, 2);
  expect(above(1, 6, 7)).toBeCloseTo(0.3, 2);
  // Ten years: Gamma(33, 25), mean 1.32, P(theta > 1) = 0.93.
  expect(33 / 25).toBe(1.32);
  expect(above(1, 33, 25)).toBeCloseTo(0.93, 2);
});

test('the 95 % interval and median of Gamma(6,7) are 0.3146 to 1.6669 and 0.8100 (computed with SciPy)', () => {
  expect(gammaQuantile(0.025, 6, 1 / 7)).toBeCloseTo(0.3146, 4);
  expect(gammaQuantile(0.975, 6, 1 / 7)).toBeCloseTo(1.6669, 4);
  expect(gammaQuantile(0.5, 6, 1 / 7)).toBeCloseTo(0.81, 4);
});

test('kidney cancer: the predictive of a county of 1,000 over ten years (BDA 3rd ed., 2.7; exact values with SciPy)', () => {
  const published = [0.6314, 0.287, 0.0685, 0.0114];
  published.forEach((p, k) => {
    expect(predictive(k, 20, 430_000, 10_000)).toBeCloseTo(p, 4);
  });
});

test('fraud calls: Gamma(10,2) with 6 2 2 1 becomes Gamma(21,6); one more day (Johnson, Ott & Dogucu, Bayes Rules!, ch. 5)', () => {
  const published = [0.0393, 0.1178, 0.1852, 0.2028, 0.1738, 0.1242, 0.0769];
  published.forEach((p, k) => {
    expect(predictive(k, 21, 6, 1)).toBeCloseTo(p, 4);
  });
});
