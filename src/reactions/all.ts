/** Every reaction there is. A new one: a file here, named like its sentence, and its name in this list. */
import type { Reaction } from '../usecases/reaction.ts';
import { reconsiderPlanWhenSomethingHappens } from './reconsider-plan-when-something-happens.ts';
import { tellCoordinatorOfExceptions } from './tell-coordinator-of-exceptions.ts';
import { tellDonorAboutBooking } from './tell-donor-about-booking.ts';
import { tellDonorWhenStopIsMissed } from './tell-donor-when-stop-is-missed.ts';
import { tellDonorWhenVisitMoves } from './tell-donor-when-visit-moves.ts';
import { tellDriverWhenRoundsChange } from './tell-driver-when-rounds-change.ts';

export const REACTIONS: readonly Reaction[] = [
  reconsiderPlanWhenSomethingHappens,
  tellCoordinatorOfExceptions,
  tellDonorAboutBooking,
  tellDonorWhenStopIsMissed,
  tellDonorWhenVisitMoves,
  tellDriverWhenRoundsChange,
];
