/**
 * From what was written down to masses with their errors: one pass over all sites in order of time, because a
 * load's total teaches the bag masses of all its stops at once. The rates play no part in it.
 */
import type { Kg } from '../quantity/units.ts';
import {
  apportionLoad,
  type BagMass,
  countedRelativeVariance,
  learnBagMass,
  startBagMass,
} from './bag-mass.ts';
import type { LoadWeighed, PickedUp, SiteHistory } from './site-history.ts';

/** By the places of a site's evidence; NaN where no mass is known (only "found full", or no pickup). */
export type Masses = {
  readonly kg: Float64Array;
  /** Squared relative error of the measurement. */
  readonly relativeVariance: Float64Array;
};

export type Observed = {
  readonly masses: ReadonlyMap<string, Masses>;
  /** What each site's bags weigh after all that, by site. */
  readonly bags: ReadonlyMap<string, BagMass>;
};

const SCALE_CV = 0.02;
/** A driver's guess by eye. */
const ESTIMATE_CV = 0.25;
/** Mass that came already split, with no counts to tell how sure the split is. */
const SPLIT_CV = 0.12;

type Entry = {
  readonly siteId: string;
  readonly stop: PickedUp;
  readonly own: Masses;
  readonly place: number;
};

/** @param known what bags were known to weigh before this evidence; else the sites' own figures */
export function observeAll(
  histories: readonly SiteHistory[],
  loads: readonly LoadWeighed[],
  known?: ReadonlyMap<string, BagMass>,
): Observed {
  const masses = new Map<string, Masses>();
  const bags = new Map<string, BagMass>();
  const loadById = new Map(loads.map((load) => [load.loadId, load]));
  const stopsByLoad = new Map<string, Entry[]>();
  const entries: Entry[] = [];
  for (const history of histories) {
    bags.set(history.siteId, known?.get(history.siteId) ?? startBagMass(history.bagKg));
    const own: Masses = {
      kg: new Float64Array(history.evidence.length).fill(Number.NaN),
      relativeVariance: new Float64Array(history.evidence.length),
    };
    masses.set(history.siteId, own);
    for (let place = 0; place < history.evidence.length; place++) {
      const evidence = history.evidence[place]!;
      if (evidence.kind !== 'picked-up') continue;
      if (evidence.netKg !== undefined && evidence.bags === undefined) {
        note(own, place, evidence.netKg, weighedRelativeVariance(evidence));
        continue;
      }
      if (evidence.bags === undefined) continue;
      const load = evidence.loadId === undefined ? undefined : loadById.get(evidence.loadId);
      if (load && evidence.netKg === undefined) {
        const stops = stopsByLoad.get(load.loadId);
        if (stops) stops.push({ siteId: history.siteId, stop: evidence, own, place });
        else stopsByLoad.set(load.loadId, [{ siteId: history.siteId, stop: evidence, own, place }]);
      } else entries.push({ siteId: history.siteId, stop: evidence, own, place });
    }
  }
  if (entries.length === 0 && stopsByLoad.size === 0) return { masses, bags };
  const weighedInLoad = sumsWeighedInLoads(histories, stopsByLoad);
  const occasions: (Entry | LoadWeighed)[] = [...entries];
  for (const id of stopsByLoad.keys()) occasions.push(loadById.get(id)!);
  const keyed = occasions.map((o) =>
    'stop' in o ? { at: o.stop.at, id: o.stop.id, o } : { at: o.at, id: o.loadId, o },
  );
  keyed.sort((a, b) => a.at - b.at || (a.id < b.id ? -1 : 1));
  for (const { o } of keyed) {
    if ('stop' in o) observeStop(o, bags);
    else observeLoad(o, stopsByLoad.get(o.loadId)!, weighedInLoad.get(o.loadId) ?? 0, bags);
  }
  return { masses, bags };
}

function note(own: Masses, place: number, kg: Kg, relativeVariance: number): void {
  own.kg[place] = kg;
  own.relativeVariance[place] = relativeVariance;
}

function weighedRelativeVariance({ method }: PickedUp): number {
  const cv = method === 'estimate' ? ESTIMATE_CV : method === 'apportioned' ? SPLIT_CV : SCALE_CV;
  return cv * cv;
}

function observeStop({ siteId, stop, own, place }: Entry, bags: Map<string, BagMass>): void {
  const bag = bags.get(siteId)!;
  const count = stop.bags ?? 0;
  if (stop.netKg !== undefined) {
    note(own, place, stop.netKg, weighedRelativeVariance(stop));
    // A mass that was itself made from the count would only confirm the old bag mass.
    if (stop.method === 'scale') bags.set(siteId, learnBagMass(bag, count, stop.netKg));
  } else note(own, place, count * bag.kg, count > 0 ? countedRelativeVariance(bag, count) : SCALE_CV ** 2);
}

function observeLoad(
  load: LoadWeighed,
  stops: readonly Entry[],
  weighedKg: Kg,
  bags: Map<string, BagMass>,
): void {
  const counted = stops.map(({ siteId, stop }) => ({ bags: stop.bags ?? 0, bag: bags.get(siteId)! }));
  const parts = apportionLoad(Math.max(0, load.netKg - weighedKg), counted);
  stops.forEach(({ siteId, own, place }, i) => {
    const part = parts[i]!;
    note(own, place, part.netKg, part.relativeVariance);
    bags.set(siteId, part.bag);
  });
}

/** Stops of a load that were weighed on their own leave less to split. */
function sumsWeighedInLoads(
  histories: readonly SiteHistory[],
  stopsByLoad: ReadonlyMap<string, unknown>,
): ReadonlyMap<string, Kg> {
  const sums = new Map<string, Kg>();
  for (const { evidence } of histories)
    for (const e of evidence)
      if (
        e.kind === 'picked-up' &&
        e.loadId !== undefined &&
        e.netKg !== undefined &&
        stopsByLoad.has(e.loadId)
      )
        sums.set(e.loadId, (sums.get(e.loadId) ?? 0) + e.netKg);
  return sums;
}
