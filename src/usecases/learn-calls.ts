/**
 * Which donors say when their container is getting full, and how far that can be relied on. A donor whom the workshop
 * can reach starts at the workshop's own figure; from then on its own record speaks: a report before a pickup counts
 * for it, a container found full without a word against it. Beta-binomial: the figure stands for `PRIOR_TIMES`
 * pickups (conjugate prior, e.g. Gelman et al. 2013, Bayesian Data Analysis, 3rd ed., section 2.4; the number is own
 * judgement).
 */
import type { DonorCalls } from '../core/planning/problem.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { Db } from '../store/db.ts';
import { type CallCount, countCalls } from '../store/fill-reports.ts';
import type { Site } from '../store/sites.ts';

const PRIOR_TIMES = 4;
/**
 * From so many calls in a year a donor's silence counts as well. Fewer may be one helpful person on one day: own
 * judgement.
 */
const HEARD_FROM_CALLS = 3;
/** Habits and staff change: a year is remembered. */
const REMEMBERED_S = 365 * 86_400;

const NEVER: CallCount = { calls: 0, silent: 0 };

export type LearntCalls = CallCount & {
  /** Absent: the planner counts on nothing but the fill. */
  readonly counted?: DonorCalls;
  /** The donor has called often enough for silence to mean something. */
  readonly isSilenceHeard: boolean;
};

/** What to count on, from the workshop's figure and the donor's own record. */
export function callsOf(
  usual: DonorCalls,
  { isReachable, calls, silent }: CallCount & { readonly isReachable: boolean },
): LearntCalls {
  if (usual.reliability === 0 || (!isReachable && calls === 0))
    return { calls, silent, isSilenceHeard: false };
  const reliability = (PRIOR_TIMES * usual.reliability + calls) / (PRIOR_TIMES + calls + silent);
  return {
    calls,
    silent,
    counted: { ...usual, reliability },
    isSilenceHeard: calls >= HEARD_FROM_CALLS,
  };
}

/** For each of the sites; `nowAt` only bounds how far back is looked. */
export function learnCalls(
  db: Db,
  sites: readonly Site[],
  usual: DonorCalls,
  nowAt: Instant,
): Map<string, LearntCalls> {
  const counts = countCalls(db, nowAt - REMEMBERED_S);
  return new Map(
    sites.map((site) => {
      const isReachable = site.contacts.some(({ phone, email }) => phone !== '' || email !== '');
      return [site.id, callsOf(usual, { ...(counts.get(site.id) ?? NEVER), isReachable })];
    }),
  );
}
