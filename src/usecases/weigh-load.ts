/**
 * A whole load is weighed at unloading. What was weighed at its stops stays; the rest of the total is apportioned over
 * the stops that were only counted or found full, in whole grams, so that stock holds what the scale said.
 */
import { apportionLoad, startBagMass } from '../core/accumulation/bag-mass.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import { shareOut } from '../core/quantity/share-out.ts';
import type { Instant, Kg } from '../core/quantity/units.ts';
import { inTransaction, type Tx } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { getLoadWeighIn, type LoadWeighIn, recordLoadWeighIn } from '../store/load-weigh-ins.ts';
import { getRound } from '../store/plans.ts';
import { getSite } from '../store/sites.ts';
import { listWeighInsOfStops, type WeighIn } from '../store/weigh-ins.ts';
import { listGrades, requireWorkshop } from '../store/workshop.ts';
import { bookCorrection, bookedMass, type Register } from './book-weigh-in.ts';
import { isStillToCome, type StillToCome } from './clock-skew.ts';
import type { Context } from './context.ts';
import { learnFills } from './learn-fills.ts';

export type LoadWeighed = {
  /** Becomes the load weigh-in's id and key. */
  readonly factId: string;
  readonly roundId: string;
  /** Stops handed in by then, and not in an earlier load, are in this one. */
  readonly at: Instant;
  readonly netKg: Kg;
  readonly driverId?: string;
  readonly recordedBy: string;
};

export type LoadRefusal =
  | { readonly kind: 'round-not-found' }
  /** Nothing of the round waits to be apportioned: hand in the stops first. */
  | { readonly kind: 'no-stops-in-load' }
  /** The stops that were weighed come to more than the whole load. */
  | { readonly kind: 'less-than-its-stops'; readonly weighedKg: Kg }
  | { readonly kind: 'fact-differs' }
  | StillToCome;
type Answer = Result<
  { readonly loadWeighInId: string; readonly shares: readonly { siteId: string; kg: Kg }[] },
  LoadRefusal
>;

export function weighLoad(context: Context, load: LoadWeighed): Answer {
  const { store, now, newId } = context;
  // Read before the write lock is taken: it may have to learn anew.
  const models = learnFills(store);
  return inTransaction(store, (tx): Answer => {
    const { factId, roundId, at, netKg, driverId, recordedBy } = load;
    const round = getRound(tx, roundId);
    if (!round || (driverId !== undefined && round.driverId !== driverId))
      return refuse({ kind: 'round-not-found' });
    const same = getLoadWeighIn(tx, factId);
    if (same) return isSameLoad(same, load) ? repeated(tx, round, factId) : refuse({ kind: 'fact-differs' });
    const recordedAt = now();
    if (isStillToCome(at, recordedAt)) return refuse({ kind: 'still-to-come' });

    const inLoad = weighInsOf(tx, round).filter((one) => one.loadWeighInId === null && one.at <= at);
    const counted = inLoad.filter((one) => one.netKg === null);
    if (counted.length === 0) return refuse({ kind: 'no-stops-in-load' });
    const weighedG = inLoad.reduce((sum, one) => sum + Math.round((one.netKg ?? 0) * 1000), 0);
    const restG = Math.round(netKg * 1000) - weighedG;
    if (restG < 0) return refuse({ kind: 'less-than-its-stops', weighedKg: weighedG / 1000 });

    recordLoadWeighIn(tx, { id: factId, key: factId, at, netKg, roundId, recordedBy, recordedAt });
    const workshop = requireWorkshop(tx);
    const grades = listGrades(tx);
    const registers = counted.map((one): Register => ({ workshop, grades, site: getSite(tx, one.siteId)! }));
    const parts = apportionLoad(
      restG / 1000,
      counted.map((one, i) => {
        const learntKg = models.get(one.siteId)?.bagKg;
        const bag = startBagMass(learntKg ?? registers[i]!.site.bagKg ?? workshop.bagKg);
        // Found full and not counted: as many bags as a full container holds.
        return { bags: one.bags ?? bookedMass(registers[i]!, one).kg / bag.kg, bag };
      }),
    );
    const gramsOf = shareOut(
      restG,
      parts.map((part) => part.netKg),
    );
    const shares = counted.map((previous, i) => {
      const kg = gramsOf[i]! / 1000;
      const { key: _k, replacesId: _r, ...rest } = previous;
      const next = { ...rest, id: newId(), netKg: kg, method: 'apportioned' as const };
      const sent = { ...next, loadWeighInId: factId, recordedBy, recordedAt };
      const corrected = bookCorrection(tx, { newId }, registers[i]!, previous, sent);
      appendEntry(tx, {
        at: recordedAt,
        kind: 'weigh-in-corrected',
        subject: `site:${previous.siteId}`,
        actor: recordedBy,
        facts: {
          weighInId: corrected.id,
          replacesId: previous.id,
          stopId: previous.stopId,
          netKg: kg,
          bags: previous.bags,
        },
      });
      return { weighInId: corrected.id, siteId: previous.siteId, kg };
    });
    appendEntry(tx, {
      at: recordedAt,
      kind: 'load-weighed',
      subject: `round:${roundId}`,
      actor: recordedBy,
      facts: { loadWeighInId: factId, netKg, weighInIds: shares.map((share) => share.weighInId) },
    });
    return ok({ loadWeighInId: factId, shares: shares.map(({ siteId, kg }) => ({ siteId, kg })) });
  });
}

type Round = NonNullable<ReturnType<typeof getRound>>;
const weighInsOf = (tx: Tx, { stops }: Round): WeighIn[] =>
  listWeighInsOfStops(
    tx,
    stops.map((stop) => stop.id),
  ).sort((a, b) => a.at - b.at || (a.id < b.id ? -1 : 1));

const isSameLoad = (same: LoadWeighIn, { roundId, netKg }: LoadWeighed): boolean =>
  same.roundId === roundId && Math.round(same.netKg * 1000) === Math.round(netKg * 1000);

const repeated = (tx: Tx, round: Round, loadWeighInId: string): Answer =>
  ok({
    loadWeighInId,
    shares: weighInsOf(tx, round)
      .filter((one) => one.loadWeighInId === loadWeighInId)
      .map(({ siteId, netKg }) => ({ siteId, kg: netKg ?? 0 })),
  });
