/** What was taken from a donor, collection by collection: the ground of statements, records and bars. */
import type { SiteModel } from '../../core/accumulation/site-model.ts';
import { diversionOf } from '../../core/feedstock/diverted.ts';
import type { Instant, Kg } from '../../core/quantity/units.ts';
import type { RejectReason, WeighMethod } from '../../core/vocabulary.ts';
import type { Db } from '../../store/db.ts';
import { listSitesOfDonor } from '../../store/sites.ts';
import { listWeighInsOfSite } from '../../store/weigh-ins.ts';

export type Transfer = {
  readonly weighInId: string;
  readonly at: Instant;
  readonly siteName: string;
  readonly address: string;
  readonly lat: number;
  readonly lon: number;
  readonly method: WeighMethod;
  readonly bags: number | null;
  readonly grossKg: Kg | null;
  readonly tareKg: Kg | null;
  /** Weighed, or worked out from bags or a full container. */
  readonly collectedKg: Kg;
  readonly isWeighed: boolean;
  readonly rejectedKg: Kg;
  readonly rejectReason: RejectReason | null;
  /** Film that goes into the melt: what counts as diverted. */
  readonly acceptedKg: Kg;
};

/** Oldest first; corrections stand in place of what they correct. */
export function transfersOf(
  db: Db,
  donorId: string,
  models: ReadonlyMap<string, Pick<SiteModel, 'bagKg' | 'capacityKg'>>,
): Transfer[] {
  return listSitesOfDonor(db, donorId)
    .flatMap((site) => {
      const { bagKg, capacityKg } = models.get(site.id)!;
      return listWeighInsOfSite(db, site.id).map((w): Transfer => {
        const collectedKg = w.netKg ?? (w.bags === null ? capacityKg : w.bags * bagKg);
        const rejectedKg = Math.min(w.rejectedKg, collectedKg);
        return {
          weighInId: w.id,
          at: w.at,
          siteName: site.name,
          address: site.address,
          lat: site.lat,
          lon: site.lon,
          method: w.method,
          bags: w.bags,
          grossKg: w.grossKg,
          tareKg: w.tareKg,
          collectedKg,
          isWeighed: w.netKg !== null && (w.method === 'scale' || w.method === 'apportioned'),
          rejectedKg,
          rejectReason: w.rejectReason,
          acceptedKg: acceptedOf(collectedKg, rejectedKg),
        };
      });
    })
    .sort((a, b) => a.at - b.at);
}

/** Of one collection no weight at the workshop is known: received is what was collected. */
const acceptedOf = (collectedKg: Kg, rejectedKg: Kg): Kg =>
  diversionOf({
    collectedKg,
    receivedKg: collectedKg,
    rejectedKg,
    finishedKg: 0,
    offCutsReturnedKg: 0,
    usedKg: 0,
  }).divertedKg;
