/**
 * What counts as kept out of the bin: not what was collected but what was accepted, that is film that goes into
 * the melt. Collected is weighed at the stops, received at the workshop; the two differ by scales and moisture.
 * Terms follow the sampling rules for materials facilities (Environmental Permitting (England and Wales)
 * Regulations 2016, Schedule 9 Part 2) and the calculation point of Decision (EU) 2019/665: input to recycling.
 */
import type { Kg } from '../quantity/units.ts';

export type Throughput = {
  /** Sum of the stops' scales. */
  readonly collectedKg: Kg;
  /** The workshop's scale; equal to collected where loads are not weighed again. */
  readonly receivedKg: Kg;
  /** Contaminated, wrong polymer, wet. */
  readonly rejectedKg: Kg;
  /** Mass of finished products. */
  readonly finishedKg: Kg;
  /** Off-cuts that came back into the store and will be melted again. */
  readonly offCutsReturnedKg: Kg;
  /** Film that went into the press, returned off-cuts included each time they went in. */
  readonly usedKg: Kg;
};

export type Diversion = {
  readonly acceptedKg: Kg;
  readonly divertedKg: Kg;
  /** Rejected over received, 0 to 1; 0 where nothing was received. */
  readonly contaminationShare: number;
  /** Collected less received: scales, moisture, container tare. */
  readonly weighingDifferenceKg: Kg;
  /** Used less finished less returned: fumes, purge, sweepings. */
  readonly processLossKg: Kg;
};

/** @throws RangeError where more is rejected than received, or more comes out of the press than went in */
export function diversionOf(t: Throughput): Diversion {
  if (t.rejectedKg > t.receivedKg + 1e-9)
    throw new RangeError(`${t.rejectedKg} kg rejected of ${t.receivedKg} kg received: check the weigh-ins`);
  const processLossKg = t.usedKg - t.finishedKg - t.offCutsReturnedKg;
  if (processLossKg < -1e-9)
    throw new RangeError(
      `${t.finishedKg} kg of products and ${t.offCutsReturnedKg} kg of off-cuts out of ${t.usedKg} kg of film: check units and yield`,
    );
  const acceptedKg = t.receivedKg - t.rejectedKg;
  return {
    acceptedKg,
    divertedKg: acceptedKg,
    contaminationShare: t.receivedKg > 0 ? t.rejectedKg / t.receivedKg : 0,
    weighingDifferenceKg: t.collectedKg - t.receivedKg,
    processLossKg: Math.max(0, processLossKg),
  };
}
