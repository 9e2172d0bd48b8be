/**
 * What it says that a donor says nothing. Of one with a record of calling who is silent at the end of a day on which
 * somebody was there, less is waiting (`SiteModel.silence`); and little more is gained by waiting for the call.
 */
import type { SiteModel } from '../core/accumulation/site-model.ts';
import { openWindows } from '../core/calendar/opening.ts';
import { addDays } from '../core/calendar/zone.ts';
import type { DonorCalls } from '../core/planning/problem.ts';
import { hasCalled } from '../core/planning/tables.ts';
import type { LocalDay, TimeWindow } from '../core/quantity/units.ts';
import type { Site } from '../store/sites.ts';
import type { LearntCalls } from './learn-calls.ts';

/** Closed for longer than this, silence says nothing. */
const HEARD_DAYS = 14;
/**
 * Whose silence counts is known by the fill to be about to call; of such calls only this part is fetched before it
 * overflows (counting on 0.3 was best in simulated years where 0.85 call an evening: core/simulation/README.md).
 */
const FETCHED_IN_TIME = 0.35;

/** The fill of a site and its donor's calls, as the planner counts on them. */
export type Heard = { readonly model: SiteModel; readonly calls?: DonorCalls };

/** @param openDays windows of days that are over, the latest day first */
export function hearSilence(
  model: SiteModel,
  { counted, isSilenceHeard }: LearntCalls,
  openDays: readonly (readonly TimeWindow[])[],
): Heard {
  if (!counted) return { model };
  if (!isSilenceHeard) return { model, calls: counted };
  const calls = { ...counted, reliability: FETCHED_IN_TIME * counted.reliability };
  const at = openDays.find((windows) => windows.length > 0)?.at(-1)?.untilAt;
  if (at === undefined || at <= model.emptiedAt || hasCalled(model)) return { model, calls };
  const kg = counted.fromShare * model.capacityKg;
  return { model: { ...model, silence: { kg, at, missedShare: 1 - counted.reliability } }, calls };
}

/**
 * The same with the site's own hours. Silence is heard up to two days before the horizon begins: so a plan made the day
 * before and one of that morning rest on the same facts.
 */
export function hearSite(
  site: Site,
  model: SiteModel,
  calls: LearntCalls,
  days: { readonly zone: string; readonly today: LocalDay; readonly firstDay: LocalDay },
): Heard {
  const before = addDays(days.firstDay, -1);
  const until = days.today < before ? days.today : before;
  const openDays = Array.from({ length: HEARD_DAYS }, (_, back) =>
    openWindows(site, days.zone, addDays(until, -1 - back)),
  );
  return hearSilence(model, calls, openDays);
}
