import { expect, test } from 'vitest';
import { both, tripRisk, type VisitLoad } from '../../../src/core/planning/early-full.ts';
import { planWeek } from '../../../src/core/planning/plan-week.ts';
import { gammaDraw, seededRandom } from '../../../src/core/quantity/random.ts';
import { gammaSf } from '../../../src/core/quantity/special.ts';
import { randomTown } from '../../fixtures/planning-problems.ts';

const load = (massKg: number, varianceKg2: number, litresPerKg = 10): VisitLoad => ({
  massKg,
  varianceKg2,
  litresPerKg,
});

test('two visits of gamma masses on one scale: the sum is gamma, by hand', () => {
  // Shapes 4 and 6 on a scale of 5 kg: together shape 10, mean 50, variance 250. The first alone: 4 and 5.
  const visits = [load(20, 100), load(30, 150)];
  const { fullEarlyRisk, leftBehindRisk, fullBy } = tripRisk(visits, { payloadKg: 60, loadSpaceL: 1e6 }, 0);
  expect(leftBehindRisk).toBeCloseTo(gammaSf(60, 10, 5), 12);
  expect(fullEarlyRisk).toBeCloseTo(gammaSf(60, 4, 5), 12);
  expect(fullBy).toBe('payload');
});

test('space counts as well as weight, and one stop alone is never too early', () => {
  const tight = tripRisk([load(20, 100, 30)], { payloadKg: 400, loadSpaceL: 600 }, 0);
  expect(tight.fullBy).toBe('load-space');
  expect(tight.leftBehindRisk).toBeCloseTo(gammaSf(600, 4, 150), 12);
  expect(tight.fullEarlyRisk).toBe(0);
});

test('both dimensions: closed forms of the bivariate normal', () => {
  // Sheppard's formula (Stuart & Ord, Kendall's Advanced Theory 1, 15.27): P(both above the median) = 1/4 + asin(rho) / (2 pi).
  for (const rho of [0, 0.2, 0.5, 0.8, 0.95])
    expect(both(0.5, 0.5, rho)).toBeCloseTo(0.25 + Math.asin(rho) / (2 * Math.PI), 6);
  expect(both(0.3, 0.2, 0)).toBeCloseTo(0.06, 12);
  expect(both(0.3, 0.2, 1)).toBe(0.2);
});

test('against drawn trips: gamma masses, one factor for all, film of two densities', () => {
  const random = seededRandom(11);
  const draws = 20_000;
  for (let trial = 0; trial < 12; trial++) {
    const stops = 2 + random.below(12);
    const drawn = Array.from({ length: stops }, () => ({
      shape: 1 + random.below(12),
      scaleKg: 1 + 6 * random.next(),
      litresPerKg: random.next() < 0.5 ? 12 : 30,
    }));
    const visits = drawn.map(({ shape, scaleKg, litresPerKg }) =>
      load(shape * scaleKg, shape * scaleKg * scaleKg, litresPerKg),
    );
    const kg = visits.reduce((sum, { massKg }) => sum + massKg, 0);
    const litres = visits.reduce((sum, { massKg, litresPerKg }) => sum + massKg * litresPerKg, 0);
    const room = {
      payloadKg: kg * (1 + 0.4 * random.next()),
      loadSpaceL: litres * (0.95 + 0.4 * random.next()),
    };
    const commonSd = 0.1;
    let early = 0;
    let left = 0;
    for (let n = 0; n < draws; n++) {
      const factor = gammaDraw(random, 100) / 100; // mean 1, standard deviation 0.1
      let x = 0;
      let y = 0;
      drawn.forEach(({ shape, scaleKg, litresPerKg }, k) => {
        const mass = factor * gammaDraw(random, shape) * scaleKg;
        if (k === stops - 1 && (x > room.payloadKg || y > room.loadSpaceL)) early++;
        x += mass;
        y += mass * litresPerKg;
      });
      if (x > room.payloadKg || y > room.loadSpaceL) left++;
    }
    const risk = tripRisk(visits, room, commonSd);
    // Four standard errors of the drawing are 0.014; the rest is what two moments do not say.
    expect(Math.abs(risk.fullEarlyRisk - early / draws)).toBeLessThan(0.025);
    expect(Math.abs(risk.leftBehindRisk - left / draws)).toBeLessThan(0.025);
  }
});

test('a plan tells each trip, and never passes by what was promised', () => {
  const town = randomTown(3, { sites: 30, days: 5, promised: 0.4, loadSpaceL: 3000 });
  const plan = planWeek(town, { seed: 1, iterations: 100 });
  expect(plan.rounds.length).toBeGreaterThan(2);
  for (const round of plan.rounds) {
    const risks = round.tripRisks!;
    expect(risks.length).toBe(round.stops.filter((stop) => stop.kind === 'unload').length);
    expect(round.fullEarlyRisk).toBe(Math.max(...risks.map((risk) => risk.fullEarlyRisk)));
    // Loads are held at 0.8: what is over the van is so with at most one chance in five, but for rounding of tails.
    for (const risk of risks) {
      expect(risk.fullEarlyRisk).toBeLessThanOrEqual(risk.leftBehindRisk);
      expect(risk.leftBehindRisk).toBeLessThan(0.23);
    }
    const loss = new Map(
      round.stops.flatMap(({ siteId, reason }) =>
        siteId === undefined
          ? []
          : [
              [
                siteId,
                reason!.worthMicros -
                  reason!.withoutIt.distance -
                  reason!.withoutIt.time -
                  reason!.withoutIt.overtime -
                  reason!.withoutIt.unloading,
              ] as const,
            ],
      ),
    );
    const losses = round.skipFirst.map((siteId) => loss.get(siteId)!);
    expect(losses).toEqual([...losses].sort((a, b) => a - b));
    const kept = round.stops.filter((stop) =>
      ['promised', 'booked', 'pinned'].includes(stop.reason?.code ?? ''),
    );
    for (const stop of kept) expect(round.skipFirst).not.toContain(stop.siteId);
    expect(round.skipFirst.length + kept.length).toBe(loss.size);
  }
});
