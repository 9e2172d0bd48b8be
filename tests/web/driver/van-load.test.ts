import { describe, expect, test } from 'vitest';
import { liftCautions } from '../../../src/web/driver/cautions.ts';
import type { RoundView, StopOutcome } from '../../../src/web/driver/run-view.ts';
import { currentTrip, loadAlong, loadedKg, warningsOf } from '../../../src/web/driver/van-load.ts';
import { clockAt, pause, round, siteStop } from '../../fixtures/run-view.ts';

const weighed = (netKg: number): StopOutcome & { kind: 'weighed' } => ({
  kind: 'weighed',
  weighInId: 'w',
  at: clockAt('09:00'),
  method: 'scale',
  netKg,
  foundFull: false,
  rejectedKg: 0,
  grades: [],
  note: '',
  corrections: 0,
});
const roundOf = (stops: RoundView['stops'], more: Partial<RoundView> = {}): RoundView => ({
  ...round,
  payloadKg: 100,
  loadSpaceL: 9000,
  ...more,
  stops,
});

describe('the load along a round', () => {
  // 50 L a kilogram: 40 kg in the van is 2,000 L.
  const done = siteStop(1, 'A', '08:10', 30, { outcome: weighed(40) });
  const due = siteStop(2, 'B', '08:40', 30);

  test('is what was weighed where it was, and what is expected where it was not', () => {
    const { now, after } = loadAlong(roundOf([done, due]));
    expect(now).toEqual({ kg: 40, litres: 2000 });
    expect(after).toEqual([
      { kg: 40, litres: 2000 },
      { kg: 70, litres: 3500 },
    ]);
  });

  test('starts anew after unloading, but the van stays full until a later stop says otherwise', () => {
    const unload = pause('unload', '09:10', '09:30');
    const later = siteStop(3, 'C', '09:50', 20);
    expect(loadAlong(roundOf([done, unload, later]))).toMatchObject({
      now: { kg: 40 },
      after: [{ kg: 40 }, { kg: 0 }, { kg: 20 }],
    });
    const withLater = roundOf([done, unload, { ...later, outcome: weighed(25) }]);
    expect(loadAlong(withLater).now.kg).toBe(25);
  });

  test('names the first stop at which a limit would be passed, and which limit', () => {
    const heavy = roundOf([done, due, siteStop(3, 'C', '09:10', 50)]);
    expect(loadAlong(heavy).passedAt).toEqual({ stopId: 'stop-3', limit: 'payload' });
    const bulky = roundOf([done, due], { loadSpaceL: 3000 });
    expect(loadAlong(bulky).passedAt).toEqual({ stopId: 'stop-2', limit: 'load-space' });
    expect(loadAlong(roundOf([done, due])).passedAt).toBeUndefined();
  });

  test('counts bags by their mass here, a missed stop as nothing, "found full" as the high end', () => {
    const { netKg: _, ...unweighed } = weighed(1);
    const with_ = (more: { bags?: number; foundFull?: boolean }) =>
      loadedKg({ ...due, outcome: { ...unweighed, ...more } });
    expect(with_({ bags: 10 })).toBeCloseTo(38, 9);
    expect(with_({ foundFull: true })).toBe(45);
    expect(loadedKg({ ...due, outcome: { kind: 'missed', at: 0, reason: 'closed', note: '' } })).toBe(0);
  });
});

test('warnings: over either limit beats nearly full, and a half-empty van is quiet', () => {
  const at = (kg: number, litres: number) => warningsOf({ kg, litres }, 100, 9000);
  expect(at(50, 4000)).toEqual([]);
  expect(at(50, 8500)).toEqual(['nearly-full']);
  expect(at(101, 8500)).toEqual(['over-payload']);
  expect(at(101, 9001)).toEqual(['over-payload', 'over-load-space']);
});

test('the current trip is the one with the next stop to do', () => {
  expect(currentTrip(round).map(({ name }) => name)).toContain('Northbridge Wholesale');
  expect(currentTrip(round).map(({ name }) => name)).not.toContain('Birch & Daughter, drapers');
  const allDone = round.stops.map((stop) => (stop.kind === 'site' ? { ...stop, outcome: weighed(1) } : stop));
  expect(currentTrip({ ...round, stops: allDone }).map(({ name }) => name)).toEqual([
    'Birch & Daughter, drapers',
  ]);
});

/** HSE guideline filter, INDG143 / L23 figure 20 (read second-hand, facts.md B1): 7 kg inside every close zone. */
describe('lifting cautions', () => {
  test('are silent up to 7 kg, speak above, and ask for assessment above 16 kg', () => {
    const levels = (bagKg: number) =>
      liftCautions({ ...siteStop(1, 'A', '08:00', 30), bagKg }).map(({ level }) => level);
    expect(levels(7)).toEqual([]);
    expect(levels(7.1)).toEqual(['heavy']);
    expect(levels(16)).toEqual(['heavy']);
    expect(levels(16.1)).toEqual(['assess']);
  });

  test('know that a bulk bag of a cubic metre of loose film is about 20 kg (GOV.UK Annex C: 20 kg/m³)', () => {
    const stop = siteStop(1, 'A', '08:00', 30, {
      containers: [
        { kind: 'bulk-bag', count: 1, litresEach: 1000 },
        { kind: 'cage', count: 1, litresEach: 1000 },
      ],
    });
    expect(liftCautions(stop)).toEqual([{ what: 'bulk-bag', kg: 20, level: 'assess' }]);
  });
});
