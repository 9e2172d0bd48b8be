/**
 * A round told as a person would drive it: a plain forward simulation of a given sequence. Readable and independent of
 * the search's segments; it answers when each stop is reached, and what is wrong if the sequence cannot be driven.
 */
import type { RoutingProblem, StartWindow } from './problem.ts';

export type StopKind = 'start' | 'visit' | 'unload' | 'break' | 'end';

export type ScheduledStop = {
  readonly kind: StopKind;
  /** Visit number for a visit, −1 otherwise. */
  readonly visit: number;
  readonly place: number;
  readonly arriveS: number;
  /** Waiting for a window lies between arriving and starting. */
  readonly startS: number;
  readonly departS: number;
  readonly legM: number;
  readonly legS: number;
};

export type ScheduledRound = {
  readonly vehicle: number;
  readonly stops: readonly ScheduledStop[];
};

/** What a round is made of, in order, without start and end. `window` is the one used, if it has been chosen. */
export type RoundStep =
  | { readonly kind: 'visit'; readonly visit: number; readonly window?: StartWindow }
  | { readonly kind: 'unload'; readonly window?: StartWindow }
  | { readonly kind: 'break' };

/** What solutions are passed around as: the order of work, nothing derived. */
export type RoundPlan = {
  readonly vehicle: number;
  readonly steps: readonly RoundStep[];
  readonly endWindow?: StartWindow;
};

/** A person or program asked for something that cannot be driven: where, and by how much it is too late. */
export type Lateness = { readonly ok: false; readonly step: number; readonly arriveS: number };
export type Scheduled = { readonly ok: true; readonly round: ScheduledRound } | Lateness;

/**
 * Drives the steps as soon as possible, leaving as late as that does not delay the end. A step without `window` takes
 * the earliest window that it can reach. Refuses with the first step that comes too late (`steps.length`: the end).
 */
export function scheduleRound(problem: RoutingProblem, plan: RoundPlan): Scheduled {
  const vehicle = problem.input.vehicles[plan.vehicle]!;
  const first = drive(problem, plan, vehicle.shiftStartS);
  if (!first.ok) return first;
  // Leaving x later delays the start of stop i by max(0, x − what was waited up to and including i).
  const { stops } = first.round;
  let slackS = Number.POSITIVE_INFINITY;
  let waitedS = 0;
  for (let i = 1; i < stops.length; i++) {
    const stop = stops[i]!;
    waitedS += stop.startS - stop.arriveS;
    const untilS = first.windows[i]?.untilS ?? Number.POSITIVE_INFINITY;
    slackS = Math.min(slackS, untilS - stop.startS + waitedS);
  }
  const laterS = Math.min(waitedS, slackS);
  return laterS > 0 ? drive(problem, plan, vehicle.shiftStartS + laterS, first.windows) : first;
}

type Driven =
  | { readonly ok: true; readonly round: ScheduledRound; readonly windows: (StartWindow | undefined)[] }
  | Lateness;

function drive(
  problem: RoutingProblem,
  plan: RoundPlan,
  leaveS: number,
  fixed?: readonly (StartWindow | undefined)[],
): Driven {
  const { visits, vehicles, travel } = problem.input;
  const vehicle = vehicles[plan.vehicle]!;
  const hardEndS = vehicle.shiftEndS + vehicle.maxOvertimeS;
  const { unload } = vehicle;
  const stops: ScheduledStop[] = [];
  const windows: (StartWindow | undefined)[] = [undefined];
  let nowS = leaveS;
  let place = vehicle.startPlace;
  stops.push({
    kind: 'start',
    visit: -1,
    place,
    arriveS: nowS,
    startS: nowS,
    departS: nowS,
    legM: 0,
    legS: 0,
  });

  for (let i = 0; i <= plan.steps.length; i++) {
    const step = plan.steps[i];
    const to = placeOf(step, place);
    const legM = travel.legM[place * travel.places + to]!;
    const legS = travel.legS[place * travel.places + to]!;
    const arriveS = nowS + legS;
    const [list, serviceS, given] = demandOf(step);
    const window = (fixed ? fixed[i + 1] : given) ?? list.find((w) => w.untilS >= arriveS);
    const isLate = list.length > 0 && (!window || window.untilS < arriveS);
    const startS = Math.max(arriveS, window?.fromS ?? arriveS);
    nowS = startS + serviceS;
    if (isLate || nowS > hardEndS) return { ok: false, step: i, arriveS };
    const kind = step?.kind ?? 'end';
    const visit = step?.kind === 'visit' ? step.visit : -1;
    stops.push({ kind, visit, place: to, arriveS, startS, departS: nowS, legM, legS });
    windows.push(window);
    place = to;
  }
  return { ok: true, round: { vehicle: plan.vehicle, stops }, windows };

  function placeOf(step: RoundStep | undefined, here: number): number {
    if (!step) return vehicle.endPlace;
    if (step.kind === 'visit') return visits[step.visit]!.place;
    return step.kind === 'unload' ? unload!.place : here;
  }
  function demandOf(
    step: RoundStep | undefined,
  ): readonly [readonly StartWindow[], number, StartWindow | undefined] {
    if (!step) return unload?.atEnd ? [unload.windows, unload.serviceS, plan.endWindow] : [[], 0, undefined];
    if (step.kind === 'break') return [[], vehicle.breakRule!.breakS, undefined];
    if (step.kind === 'unload') return [unload!.windows, unload!.serviceS, step.window];
    return [visits[step.visit]!.windows, visits[step.visit]!.serviceS, step.window];
  }
}
