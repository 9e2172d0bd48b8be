/**
 * Evidence of all sites as rows of numbers in order of time. Everything that does not depend on the filter's
 * parameters is worked out here once (exposure, gaps, what was left), so that a pass over the rows is fast and a
 * fit of the parameters can make many.
 */
import type { Instant, Kg } from '../quantity/units.ts';
import type { Grade } from '../vocabulary.ts';
import { exposureBetween } from './exposure.ts';
import { surgeShareBetween } from './forecast.ts';
import type { Observed } from './observe.ts';
import type { SiteHistory } from './site-history.ts';
import type { Exposure, KnownSurge } from './site-model.ts';

/** Places of a row's numbers. One row is ten doubles side by side: rows are read in order of time, not of memory. */
export const ROW = {
  at: 0,
  /** Weeks since the site was last learnt from. */
  gap: 1,
  /** Exposure since the last emptying. */
  weeks: 2,
  /** NaN where no mass is known. */
  kg: 3,
  relativeVariance: 4,
  capacityKg: 5,
  /** What was left at the emptying before. */
  offsetKg: 6,
  flags: 7,
  site: 8,
  /** Of a report: the least fill, kg, that was said. */
  saidKg: 9,
  size: 10,
} as const;

export const FLAG = { full: 1, confirmed: 2, useful: 4, report: 8 } as const;

export type Burst = { readonly surge: KnownSurge; readonly share: number };

export type EvidenceRows = {
  readonly count: number;
  /** `count` × `ROW.size`, in the order of sites and their evidence. */
  readonly cells: Float64Array;
  /** Rows in order of time; of equal instants, the site first in order goes first. */
  readonly inOrder: Int32Array;
  /** Place of a row's evidence in its site's history. */
  readonly places: Int32Array;
  /** Announced events that fall between two emptyings, by row. */
  readonly bursts: ReadonlyMap<number, readonly Burst[]>;
};

/** How far a site had come before its first row here. */
export type Standing = {
  emptiedAt: Instant;
  leftKg: Kg;
  isStartKnown: boolean;
  /** When it was last learnt from. */
  asOf: Instant;
};

export type RowSite = {
  readonly history: SiteHistory;
  readonly exposure: Exposure;
  readonly surges: readonly KnownSurge[];
  readonly capacityKgAt: (at: Instant) => Kg;
  /** Moved on to after the last row. */
  readonly standing: Standing;
  /** Sorted film so far. */
  readonly gradeKg: Map<Grade, Kg>;
};

const WEEK_S = 7 * 86_400;

/**
 * @param sites in order; `standing` and `gradeKg` are moved on
 * @param only the places of those that have evidence, if that is known
 */
export function evidenceRows(
  sites: readonly RowSite[],
  observed: Observed,
  only: Iterable<number> = sites.keys(),
): EvidenceRows {
  const asked = [...only];
  let most = 0;
  for (const s of asked) most += sites[s]!.history.evidence.length;
  const cells = new Float64Array(most * ROW.size);
  const places = new Int32Array(most);
  const bursts = new Map<number, readonly Burst[]>();
  let count = 0;
  for (const s of asked) {
    const site = sites[s]!;
    const { history, exposure, standing } = site;
    const masses = observed.masses.get(history.siteId)!;
    for (let place = 0; place < history.evidence.length; place++) {
      const evidence = history.evidence[place]!;
      if (evidence.kind === 'missed' && evidence.reason !== 'nothing-there') continue;
      const at = evidence.at;
      const base = count * ROW.size;
      cells[base + ROW.at] = at;
      cells[base + ROW.site] = s;
      cells[base + ROW.capacityKg] = site.capacityKgAt(at);
      places[count] = place;
      if (evidence.kind === 'reported') {
        cells[base + ROW.flags] = FLAG.report;
        cells[base + ROW.saidKg] = evidence.fraction * cells[base + ROW.capacityKg]!;
        count++;
        continue;
      }
      const { emptiedAt } = standing;
      const isUseful = standing.isStartKnown && at > emptiedAt;
      const isPickup = evidence.kind === 'picked-up';
      cells[base + ROW.kg] = isPickup ? masses.kg[place]! : 0;
      cells[base + ROW.relativeVariance] = isPickup ? masses.relativeVariance[place]! : 0;
      cells[base + ROW.offsetKg] = standing.leftKg;
      cells[base + ROW.flags] =
        (isUseful ? FLAG.useful : 0) |
        (isPickup && evidence.foundFull ? FLAG.full : 0) |
        (isPickup && evidence.isConfirmed ? FLAG.confirmed : 0);
      if (isUseful) {
        cells[base + ROW.weeks] = exposureBetween(exposure, emptiedAt, at);
        cells[base + ROW.gap] = Math.max(0, (at - standing.asOf) / WEEK_S);
        standing.asOf = Math.max(standing.asOf, at);
        if (site.surges.length > 0) {
          const inside = burstsBetween(site.surges, emptiedAt, at);
          if (inside.length > 0) bursts.set(count, inside);
        }
      }
      standing.emptiedAt = Math.max(emptiedAt, at);
      standing.leftKg = isPickup ? (evidence.leftKg ?? 0) : 0;
      standing.isStartKnown = true;
      if (isPickup && evidence.gradesKg)
        for (const [grade, kg] of Object.entries(evidence.gradesKg))
          site.gradeKg.set(grade as Grade, (site.gradeKg.get(grade as Grade) ?? 0) + kg);
      count++;
    }
  }
  return { count, cells, inOrder: inOrderOfTime(cells, count), places, bursts };
}

function burstsBetween(surges: readonly KnownSurge[], fromAt: Instant, untilAt: Instant): readonly Burst[] {
  return surges.flatMap((surge) => {
    const share = surgeShareBetween(surge, fromAt, untilAt);
    return share > 0 ? [{ surge, share }] : [];
  });
}

function inOrderOfTime(cells: Float64Array, count: number): Int32Array {
  // Whole seconds and rows in one number each: sorting numbers is ten times faster than sorting objects.
  const rows = 2 ** Math.ceil(Math.log2(count + 1));
  const keys = new Float64Array(count);
  let isExact = true;
  for (let row = 0; row < count; row++) {
    const key = Math.floor(cells[row * ROW.size + ROW.at]!) * rows + row;
    keys[row] = key;
    if (Math.abs(key) >= Number.MAX_SAFE_INTEGER) isExact = false;
  }
  if (!isExact)
    return Int32Array.from({ length: count }, (_, row) => row).sort(
      (x, y) => cells[x * ROW.size + ROW.at]! - cells[y * ROW.size + ROW.at]! || x - y,
    );
  keys.sort();
  const inOrder = new Int32Array(count);
  for (let i = 0; i < count; i++) inOrder[i] = keys[i]! - Math.floor(keys[i]! / rows) * rows;
  return inOrder;
}
