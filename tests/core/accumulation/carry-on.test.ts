import { expect, test } from 'vitest';
import { carryOn, pooledRecord, siteRecords, takeUp } from '../../../src/core/accumulation/carry-on.ts';
import {
  type Learning,
  learnPrepared,
  learnWorkshop,
  prepareWorkshop,
  START_PARAMETERS,
} from '../../../src/core/accumulation/learn-workshop.ts';
import type { Evidence, SiteHistory } from '../../../src/core/accumulation/site-history.ts';
import { simulateWorkshop, YEAR_STARTS_AT } from '../../fixtures/simulated-workshop.ts';

const DAY_S = 86_400;
const parameters = { ...START_PARAMETERS, perPickup: 0.02, roughnessSpread: 0.3 };

/** A simulated half-year without loads (their totals come after the stops), with reports, no two at one instant. */
function workshop(seed: number): SiteHistory[] {
  return simulateWorkshop(seed, 12, 180).sites.map(({ history }, i) => ({
    ...history,
    evidence: history.evidence.flatMap((one, k): Evidence[] => {
      const at = one.at + 60 * i;
      if (one.kind !== 'picked-up') return [{ ...one, at }];
      const { loadId: _, ...own } = one;
      const report: Evidence = { kind: 'reported', id: `r-${one.id}`, at: at - 3600, fraction: 0.8 };
      return k % 5 === 2 ? [report, { ...own, at }] : [{ ...own, at }];
    }),
  }));
}

const before = (histories: readonly SiteHistory[], until: number): SiteHistory[] =>
  histories.map((h) => ({ ...h, evidence: h.evidence.filter((e) => e.at < until) }));

const inOrder = (histories: readonly SiteHistory[], from: number): (readonly [string, Evidence])[] =>
  histories
    .flatMap((h) => h.evidence.filter((e) => e.at >= from).map((e) => [h.siteId, e] as const))
    .sort(([, a], [, b]) => a.at - b.at);

test.each([11, 12, 13])(
  'one by one it comes to the same as all at once, to the last bit (seed %i)',
  (seed) => {
    const histories = workshop(seed);
    const from = YEAR_STARTS_AT + 40 * DAY_S;
    const learning = learnPrepared(prepareWorkshop(before(histories, from)), parameters);
    const steps = inOrder(histories, from).flatMap(([siteId, one]) => {
      const said = carryOn(learning, new Map([[siteId, [one]]]));
      expect(said).toBeDefined();
      return said!;
    });
    const whole = learnWorkshop(histories, [], parameters);
    expect(Object.fromEntries(learning.models)).toEqual(Object.fromEntries(whole.models));
    expect(steps).toEqual(whole.steps.filter((step) => step.at >= from));
  },
);

test('put away as JSON and taken up again, it goes on as if nothing had been', () => {
  const histories = workshop(14);
  const from = YEAR_STARTS_AT + 90 * DAY_S;
  const kept = learnPrepared(prepareWorkshop(before(histories, from)), parameters);
  const pooled = JSON.parse(JSON.stringify(pooledRecord(kept)));
  const records = new Map<string, never>(JSON.parse(JSON.stringify([...siteRecords(kept)])));
  const taken = takeUp(histories, pooled, records)!;
  expect(Object.fromEntries(taken.models)).toEqual(Object.fromEntries(kept.models));
  const goOn = (learning: Learning) => {
    for (const [siteId, one] of inOrder(histories, from)) carryOn(learning, new Map([[siteId, [one]]]));
    return Object.fromEntries(learning.models);
  };
  expect(goOn(taken)).toEqual(goOn(kept));
});

test('what comes late, belongs to a load or to a stranger is not carried on from, and changes nothing', () => {
  const histories = workshop(15);
  const learning = learnPrepared(prepareWorkshop(histories), parameters);
  const models = Object.fromEntries(learning.models);
  const at = learning.lastAt;
  const pickup = { kind: 'picked-up', id: 'new', netKg: 20, foundFull: false, method: 'scale' } as const;
  expect(carryOn(learning, new Map([['s0', [{ ...pickup, at }]]]))).toBeUndefined();
  expect(carryOn(learning, new Map([['s0', [{ ...pickup, at: at + 60, loadId: 'l' }]]]))).toBeUndefined();
  expect(carryOn(learning, new Map([['nobody', [{ ...pickup, at: at + 60 }]]]))).toBeUndefined();
  expect(Object.fromEntries(learning.models)).toEqual(models);
  expect(carryOn(learning, new Map([['s0', [{ ...pickup, at: at + 60 }]]]))).toHaveLength(1);
});

test('another register is not taken up', () => {
  const histories = workshop(16);
  const kept = learnPrepared(prepareWorkshop(histories), parameters);
  expect(takeUp(histories.slice(1), pooledRecord(kept), siteRecords(kept))).toBeUndefined();
});
