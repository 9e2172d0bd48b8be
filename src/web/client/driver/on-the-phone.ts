/** The run as it stands on this phone: the server's sheet, and over it what was said here and may still wait. */
import type { Instant } from '../../../core/quantity/units.ts';
import { afterMark } from '../../driver/round-progress.ts';
import type { RoundView, RunView, SiteStopView, StopOutcome } from '../../driver/run-view.ts';
import type { SentSheet } from '../../driver/sent-sheet.ts';
import type { Amounts } from '../../shared/weigh-in-fields.ts';
import type { Fact } from './fact.ts';

import { inOrder } from './outbox.ts';

export type PhoneRun = {
  readonly run: RunView;
  /** The fact that a stop's outcome rests on, where it is this phone's and the server's sheet does not show it yet. */
  readonly factOf: ReadonlyMap<string, Fact>;
  /** Said here, and at no stop of the sheet: kept in view, so that nothing seems lost. */
  readonly elsewhere: readonly Fact[];
};

/**
 * @param order by round: stop ids in the order in which the driver wants to go; others follow as planned
 */
export function onThePhone(
  { driverId, run }: SentSheet,
  allFacts: readonly Fact[],
  order: { readonly [roundId: string]: readonly string[] } = {},
): PhoneRun {
  const facts = inOrder(allFacts).filter((fact) => fact.driverId === driverId);
  const fresh = facts.filter((fact) => isNews(fact, run.nowAt));
  const factOf = new Map<string, Fact>();
  const rounds = run.rounds.map((round): RoundView => {
    const stops = round.stops.map((stop) => {
      if (stop.kind !== 'site') return stop;
      const said = fresh.filter((fact) => isAbout(fact, stop, round)).at(-1);
      if (!said) return stop;
      // What another phone handed in stands until the driver has said what is right.
      if (said.state === 'refused' && stop.outcome) {
        factOf.set(stop.stopId, said);
        return stop;
      }
      factOf.set(stop.stopId, said);
      const outcome = outcomeOf(said);
      return outcome ? { ...stop, outcome } : stop;
    });
    return {
      ...round,
      stops: inWantedOrder(stops, order[round.roundId]),
      progress: progressOf(round, fresh),
    };
  });
  const shown = new Set(run.rounds.flatMap(({ stops }) => stops.map(({ stopId }) => stopId)));
  const sites = new Set(
    run.rounds.flatMap(({ stops }) => stops.flatMap((stop) => (stop.kind === 'site' ? [stop.siteId] : []))),
  );
  const elsewhere = facts.filter(
    ({ said }) =>
      said.kind === 'pickup' || ('stopId' in said && !shown.has(said.stopId) && !sites.has(said.siteId)),
  );
  return { run: { ...run, rounds }, factOf, elsewhere };
}

/** Not on the server's sheet yet. */
const isNews = ({ state, handedInAt = 0 }: Fact, sheetAt: Instant): boolean =>
  state === 'waiting' || state === 'refused' || (state === 'handed-in' && handedInAt >= sheetAt);

/** By its stop; after a new plan has been taken, by the site on the same round or day. */
function isAbout({ said }: Fact, stop: SiteStopView, round: RoundView): boolean {
  if (said.kind !== 'weigh-in' && said.kind !== 'missed') return false;
  return said.stopId === stop.stopId || (said.siteId === stop.siteId && said.roundId === round.roundId);
}

export const saidAt = ({ at, phoneAt, known }: Fact): Instant => at ?? phoneAt + known.offsetS;

function outcomeOf(fact: Fact): StopOutcome | undefined {
  const { said } = fact;
  if (said.kind === 'missed')
    return { kind: 'missed', at: saidAt(fact), reason: said.reason, note: said.note };
  if (said.kind !== 'weigh-in') return undefined;
  return {
    kind: 'weighed',
    weighInId: fact.id,
    at: saidAt(fact),
    method: methodOf(said.amounts),
    ...said.amounts,
    corrections: said.replacesId === undefined ? 0 : 1,
  };
}

const methodOf = ({ netKg, bags }: Amounts) =>
  netKg !== undefined ? 'scale' : bags !== undefined ? 'bag-count' : 'estimate';

function progressOf(round: RoundView, facts: readonly Fact[]): RoundView['progress'] {
  let progress = round.progress;
  for (const fact of facts) {
    const { said, state } = fact;
    if (said.kind !== 'mark' || said.roundId !== round.roundId || state === 'refused') continue;
    progress = afterMark(progress, said.mark, saidAt(fact), round.breakRule.breakS);
  }
  return progress;
}

/** Only what is still to do moves, into the places of what is still to do; breaks and unloadings stay where they are. */
function inWantedOrder(stops: RoundView['stops'], wanted: readonly string[] | undefined): RoundView['stops'] {
  if (!wanted) return stops;
  const open = stops.filter((stop) => stop.kind === 'site' && !stop.outcome);
  const rank = (id: string) => (wanted.includes(id) ? wanted.indexOf(id) : wanted.length);
  const sorted = [...open].sort((a, b) => rank(a.stopId) - rank(b.stopId));
  return stops.map((stop) => (open.includes(stop) ? sorted.shift()! : stop));
}
