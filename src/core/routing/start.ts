/** What a search starts from: rounds that somebody else made, mended where they cannot be driven. */
import { insert, insertionCost } from './insertion.ts';
import { overloadA, overloadB } from './loads.ts';
import { setRound } from './round-plan.ts';
import { clearRound, type Rounds } from './rounds.ts';
import type { RoundPlan } from './schedule.ts';

/** Sets the rounds of `plans` as far as they can be driven and carried; other visits stay out. */
export function startFrom(rounds: Rounds, plans: readonly RoundPlan[], fixed: ReadonlySet<number>): void {
  const taken = new Set<number>();
  for (const plan of plans) {
    const { vehicle } = plan;
    const isLegal =
      vehicle >= 0 &&
      vehicle < rounds.problem.vehicles &&
      plan.steps.every(
        (step) => step.kind !== 'visit' || (step.visit >= 0 && step.visit < rounds.problem.visits),
      );
    if (!isLegal)
      throw new RangeError(
        `a round to start from names vehicle ${vehicle} or a visit that the problem has not`,
      );
    const visits = plan.steps.flatMap((step) => (step.kind === 'visit' ? [step.visit] : []));
    const isNew =
      !taken.has(-1 - vehicle) &&
      new Set(visits).size === visits.length &&
      visits.every((v) => !taken.has(v));
    taken.add(-1 - vehicle);
    const isWhole =
      isNew && setRound(rounds, plan) && overloadA(rounds, vehicle) === 0 && overloadB(rounds, vehicle) === 0;
    if (!isWhole) mend(rounds, vehicle, visits, fixed);
    for (const visit of visits) taken.add(visit);
  }
  for (const visit of fixed)
    if (visit < rounds.problem.visits && rounds.round[visit]! < 0)
      throw new RangeError(
        `visit ${visit} is fixed, but the rounds to start from do not hold it, or cannot hold it: too late or too full`,
      );
}

/** The round anew, in the order given and fixed visits first, without what does not fit. */
function mend(rounds: Rounds, vehicle: number, visits: readonly number[], fixed: ReadonlySet<number>): void {
  clearRound(rounds, vehicle);
  for (const isFixed of [true, false]) {
    let after = rounds.problem.startNode[vehicle]!;
    for (const visit of visits) {
      if (rounds.round[visit] === vehicle) after = visit;
      else if (
        fixed.has(visit) === isFixed &&
        rounds.round[visit]! < 0 &&
        insertionCost(rounds, visit, vehicle, after) < Number.POSITIVE_INFINITY
      ) {
        insert(rounds, visit, vehicle, after);
        after = visit;
      }
    }
  }
}
