import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { fillAt, meanKg, overflowRisk, quantileKg } from '../../../src/core/accumulation/forecast.ts';
import { learnWorkshop, START_PARAMETERS } from '../../../src/core/accumulation/learn-workshop.ts';
import { meanRateKg } from '../../../src/core/accumulation/rate.ts';
import type { Evidence, SiteHistory } from '../../../src/core/accumulation/site-history.ts';
import { seededRandom } from '../../../src/core/quantity/random.ts';
import { gammaQuantile } from '../../../src/core/quantity/special.ts';

const START = Date.UTC(2026, 0, 5) / 1000; // a Monday
const DAY = 86_400;
const WEEK = 7 * DAY;

const history = (over: Partial<SiteHistory> = {}): SiteHistory => ({
  siteId: 'a',
  kind: 'shop',
  zone: 'UTC',
  declaredBagsPerWeek: 10,
  bagKg: 1.8,
  litresPerKg: 50,
  containers: [{ count: 2, litresEach: 1100 }],
  openWeekdays: [true, true, true, true, true, true, true],
  closedDays: [],
  fillsSinceAt: START,
  isStartKnown: true,
  declaredShares: {},
  evidence: [],
  surges: [],
  ...over,
});

let serial = 0;
const pickup = (at: number, over: Partial<Extract<Evidence, { kind: 'picked-up' }>>): Evidence => ({
  kind: 'picked-up',
  id: `e${String(++serial).padStart(5, '0')}`,
  at,
  foundFull: false,
  method: 'scale',
  ...over,
});
const weekly = (kgs: readonly number[], over: Partial<SiteHistory> = {}): SiteHistory =>
  history({ evidence: kgs.map((netKg, i) => pickup(START + (i + 1) * WEEK, { netKg })), ...over });
const rateOf = (h: SiteHistory, siteId = 'a') => meanRateKg(learnWorkshop([h]).models.get(siteId)!.rate);

describe('before the first weigh-in', () => {
  test('more declared volume never lowers the fill', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.5, max: 200, noNaN: true }),
        fc.double({ min: 0, max: 100, noNaN: true }),
        (bags, more) => {
          const fill = (declaredBagsPerWeek: number) =>
            meanKg(fillAt(learnWorkshop([history({ declaredBagsPerWeek })]).models.get('a')!, START + WEEK));
          expect(fill(bags + more)).toBeGreaterThanOrEqual(fill(bags) * (1 - 1e-12));
        },
      ),
    );
  });

  test('a declared site is worth its bags, a little doubted', () => {
    // 10 bags × 1.8 kg = 18 kg; the start bias is exp(-0.2 + spread) of it, within a quarter either way.
    const rate = rateOf(history());
    expect(rate).toBeGreaterThan(0.75 * 18);
    expect(rate).toBeLessThan(1.25 * 18);
  });
});

describe('weigh-ins', () => {
  test('draw the rate to what is weighed, and narrow it', () => {
    const h = weekly(new Array(12).fill(40));
    expect(Math.abs(rateOf(h) - 40)).toBeLessThan(3);
    const spread = (one: SiteHistory, at: number) => {
      const fill = fillAt(learnWorkshop([one]).models.get('a')!, at);
      return (quantileKg(fill, 0.9) - quantileKg(fill, 0.1)) / meanKg(fill);
    };
    expect(spread(h, START + 13 * WEEK)).toBeLessThan(spread(history(), START + WEEK));
  });

  test('without forgetting, roughness alone and unit exposure, the update is the textbook one', () => {
    // 1/theta ~ Gamma(a, b): a gains the shape nu per week, b gains shape × kg (BDA 3rd ed., 2.6, in its inverse form).
    const parameters = { forgetPerWeek: 1, granularityKg: 0, roughness: 0.1 };
    // Nothing declared: a declaration's own bias would be learnt along with the weigh-in.
    const declaredBagsPerWeek = 0;
    const before = learnWorkshop([history({ declaredBagsPerWeek })], [], parameters).models.get('a')!.rate;
    const after = learnWorkshop([weekly([21], { declaredBagsPerWeek })], [], parameters).models.get(
      'a',
    )!.rate;
    // The scale's own error of 2 % takes a little of the shape: 1 / (1 / 10 + 0.0004), and 21 kg is believed (weight about 1).
    const shape = 1 / (1 / 10 + 0.0004);
    expect(after.a - before.a).toBeGreaterThan(0.95 * shape);
    expect(after.a - before.a).toBeLessThanOrEqual(shape);
    expect((after.b - before.b) / (after.a - before.a)).toBeCloseTo(21, 9);
  });

  test('scaling every kilogram scales every estimate (granularity with it)', () => {
    const scaled = (k: number) =>
      learnWorkshop(
        [
          weekly(
            [20, 26, 22, 30].map((kg) => kg * k),
            { bagKg: 1.8 * k, litresPerKg: 50 / k },
          ),
        ],
        [],
        { ...START_PARAMETERS, granularityKg: START_PARAMETERS.granularityKg * k },
      ).models.get('a')!;
    const one = scaled(1);
    const eight = scaled(8);
    expect(meanRateKg(eight.rate) / meanRateKg(one.rate)).toBeCloseTo(8, 3);
    expect(eight.rate.a).toBeCloseTo(one.rate.a, 2);
  });

  test('the order of sites in the list makes no difference', () => {
    const a = weekly([20, 22, 25], { siteId: 'a' });
    const b = weekly([5, 8, 6], { siteId: 'b', kind: 'school', declaredBagsPerWeek: 3 });
    expect(learnWorkshop([b, a]).models.get('a')).toEqual(learnWorkshop([a, b]).models.get('a'));
  });

  test('the same film weighed at twice as many pickups gives the same rate', () => {
    const parameters = { forgetPerWeek: 1, granularityKg: 0, roughness: 0.1 };
    const evidence = [20, 20, 26, 26, 22, 22].map((kg, i) =>
      pickup(START + ((i + 1) * WEEK) / 2, { netKg: kg / 2 }),
    );
    const one = learnWorkshop([weekly([20, 26, 22])], [], parameters).models.get('a')!;
    const two = learnWorkshop([history({ evidence })], [], parameters).models.get('a')!;
    expect(meanRateKg(two.rate) / meanRateKg(one.rate)).toBeCloseTo(1, 2);
    expect(two.rate.a / one.rate.a).toBeCloseTo(1, 1);
  });

  test('a missed stop tells nothing; nothing there is a weigh-in of nothing', () => {
    const base = weekly([20, 20, 20]);
    const missed = (reason: 'closed' | 'nothing-there'): SiteHistory => ({
      ...base,
      evidence: [...base.evidence, { kind: 'missed', id: 'm', at: START + 4 * WEEK, reason }],
    });
    expect(rateOf(missed('closed'))).toBe(rateOf(base));
    expect(rateOf(missed('nothing-there'))).toBeLessThan(rateOf(base));
  });

  test('a slip of ten moves the rate by less than a tenth, and is named', () => {
    const kgs = [20, 22, 19, 21, 20, 23, 18, 21];
    const clean = rateOf(weekly(kgs));
    const model = learnWorkshop([weekly([...kgs, 210])]).models.get('a')!;
    expect(Math.abs(meanRateKg(model.rate) / clean - 1)).toBeLessThan(0.1);
    expect(model.basis.doubted).toHaveLength(1);
    expect(model.basis.doubted[0]!.weight).toBeLessThan(0.5);
  });

  test('twice in a row on the same side is a change of level, not a slip', () => {
    const kgs = [20, 22, 19, 21, 20, 23, 18, 21];
    const model = learnWorkshop([weekly([...kgs, 95, 90])]).models.get('a')!;
    // Since the last pickup that fitted; from 20 kg to some 90 kg a week.
    expect(model.basis.levelChange!.at).toBe(START + 8 * WEEK);
    expect(model.basis.levelChange!.factor).toBeGreaterThan(3);
    expect(model.basis.levelChange!.factor).toBeLessThan(6);
    expect(meanRateKg(model.rate)).toBeGreaterThan(50);
  });

  test('a weigh-in that a person confirms is not doubted, and counts', () => {
    const kgs = [20, 22, 19, 21, 20, 23, 18, 21];
    const odd = weekly([...kgs, 210]);
    const confirmed: SiteHistory = {
      ...odd,
      evidence: odd.evidence.map((e, i) =>
        e.kind === 'picked-up' && i === kgs.length ? { ...e, isConfirmed: true } : e,
      ),
    };
    expect(learnWorkshop([odd]).models.get('a')!.basis.doubted).toHaveLength(1);
    expect(learnWorkshop([confirmed]).models.get('a')!.basis.doubted).toEqual([]);
    expect(rateOf(confirmed)).toBeGreaterThan(rateOf(odd));
  });

  test('found full raises the rate over the same mass weighed from an open container', () => {
    const open = weekly([44, 44, 44]);
    const full: SiteHistory = {
      ...open,
      evidence: open.evidence.map((e) => (e.kind === 'picked-up' ? { ...e, foundFull: true } : e)),
    };
    expect(rateOf(full)).toBeGreaterThan(rateOf(open));
  });

  test('bags alone count as bags of the site’s own learnt mass', () => {
    const weighed = [1, 2, 3, 4, 5, 6].map((week) => pickup(START + week * WEEK, { netKg: 30, bags: 10 }));
    const counted = [7, 8].map((week) => pickup(START + week * WEEK, { bags: 10 }));
    const model = learnWorkshop([history({ evidence: [...weighed, ...counted] })]).models.get('a')!;
    expect(model.bagKg).toBeGreaterThan(2.6);
    expect(meanRateKg(model.rate)).toBeGreaterThan(27);
  });

  test('a report of "full" after the last pickup puts a floor under the fill, and goes with the next pickup', () => {
    const base = weekly([10, 10, 10]);
    const at = START + 3 * WEEK + DAY;
    const told: SiteHistory = {
      ...base,
      evidence: [...base.evidence, { kind: 'reported', id: 'r', at, fraction: 1 }],
    };
    const model = learnWorkshop([told]).models.get('a')!;
    expect(quantileKg(fillAt(model, at + 60), 0.01)).toBeGreaterThanOrEqual(44 - 1e-9);
    const later: SiteHistory = { ...told, evidence: [...told.evidence, pickup(at + DAY, { netKg: 44 })] };
    expect(learnWorkshop([later]).models.get('a')!.atLeast).toBeUndefined();
  });

  test('sorted grades draw the split away from what was declared', () => {
    const sorted = [1, 2, 3, 4].map((week) =>
      pickup(START + week * WEEK, { netKg: 20, gradesKg: { 'ldpe-black': 20 } }),
    );
    const { gradeShares } = learnWorkshop([
      history({ declaredShares: { 'ldpe-clear': 1 }, evidence: sorted }),
    ]).models.get('a')!;
    // Prior 8, sorted 80 kg in units of 4 kg: 20 of 28.
    expect(gradeShares['ldpe-black']).toBeCloseTo(20 / 28, 9);
    expect(gradeShares['ldpe-clear']).toBeCloseTo(8 / 28, 9);
  });
});

test('an announced event adds to the fill, and is gone with the pickup after it', () => {
  const surges = [
    {
      eventKind: 'festival',
      startsAt: START + 3 * WEEK + DAY,
      endsAt: START + 3 * WEEK + 2 * DAY,
      expectedBags: 40,
      announcedAt: START,
    },
  ] as const;
  const base = weekly([20, 20, 20]);
  const plain = fillAt(learnWorkshop([base]).models.get('a')!, START + 4 * WEEK);
  const event = fillAt(learnWorkshop([{ ...base, surges }]).models.get('a')!, START + 4 * WEEK);
  expect(meanKg(event) - meanKg(plain)).toBeCloseTo(40 * 1.8, 6);
  const emptied: SiteHistory = {
    ...base,
    surges,
    evidence: [...base.evidence, pickup(START + 4 * WEEK, { netKg: 85 })],
  };
  expect(learnWorkshop([emptied]).models.get('a')!.surges).toEqual([]);
});

describe('over a simulated year of forty steady sites (seeded; the filter’s own model with hidden rates)', () => {
  const random = seededRandom(2026);
  const histories = Array.from({ length: 40 }, (_, i): SiteHistory => {
    const rate = 6 * Math.exp(1.2 * random.next() + 0.6 * random.normal());
    const evidence: Evidence[] = [];
    let at = START;
    while (at < START + 50 * WEEK) {
      const days = 4 + random.below(10);
      at += days * DAY;
      const exposure = days / 7;
      const nu = 1 / (3 / rate + 0.1);
      const kg = gammaQuantile(Math.max(1e-9, random.next()), nu * exposure, rate / nu);
      evidence.push(pickup(at, { netKg: Math.round(kg * 10) / 10 }));
    }
    const declaredBagsPerWeek = (rate / 1.8) * Math.exp(0.2 + 0.4 * random.normal());
    return history({
      siteId: `s${i}`,
      declaredBagsPerWeek,
      evidence,
      containers: [{ count: 3, litresEach: 1100 }],
    });
  });
  // These sites do not drift, so they are forgotten more slowly than a workshop's usually are.
  const { steps } = learnWorkshop(histories, [], { ...START_PARAMETERS, forgetPerWeek: 0.97 });
  const late = steps.filter((step) => step.at > START + 8 * WEEK);

  test('the 80 % interval holds four of five, the 95 % nineteen of twenty, within 3 points', () => {
    const covered = (low: number, high: number) =>
      late.filter(
        ({ forecast, kg = 0 }) => kg >= quantileKg(forecast, low) && kg <= quantileKg(forecast, high),
      ).length / late.length;
    expect(late.length).toBeGreaterThan(1000);
    expect(Math.abs(covered(0.1, 0.9) - 0.8)).toBeLessThan(0.03);
    expect(Math.abs(covered(0.025, 0.975) - 0.95)).toBeLessThan(0.03);
  });

  test('forecasts are not biased by more than 3 %', () => {
    const sum = (get: (step: (typeof late)[number]) => number) =>
      late.reduce((total, step) => total + get(step), 0);
    const bias = sum(({ forecast }) => meanKg(forecast)) / sum(({ kg = 0 }) => kg) - 1;
    expect(Math.abs(bias)).toBeLessThan(0.03);
  });

  test('a chance of overflow comes true as often as it says, within 8 points a bin', () => {
    const capacityKg = 20;
    const bins = new Map<number, { said: number; came: number; n: number }>();
    for (const { forecast, kg = 0 } of late) {
      const risk = overflowRisk(forecast, capacityKg);
      const bin = Math.min(4, Math.floor(risk * 5));
      const sum = bins.get(bin) ?? { said: 0, came: 0, n: 0 };
      bins.set(bin, { said: sum.said + risk, came: sum.came + (kg > capacityKg ? 1 : 0), n: sum.n + 1 });
    }
    for (const { said, came, n } of bins.values())
      if (n >= 100) expect(Math.abs(said - came) / n).toBeLessThan(0.08);
  });
});
