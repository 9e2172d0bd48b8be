/**
 * On which weekdays film comes, learnt where pickups are close enough together to tell: intervals of three days or
 * less, each mass shared out over its days in proportion to what is believed of them, and the beliefs made anew from
 * the shares (expectation-maximisation; Dempster, Laird & Rubin 1977, JRSS B 39:1-38). What opening days say stands
 * for so many weeks of observation; a kind of site is learnt from all of it, a site starts from its kind.
 */
import type { Instant } from '../quantity/units.ts';
import type { SiteKind } from '../vocabulary.ts';
import { weekdayOf, zoneDays } from './local-days.ts';
import type { SiteHistory } from './site-history.ts';

/** Seven weights from Monday on, summing to 1. */
export type WeekdayWeights = readonly number[];
export type Weekdays = {
  readonly byKind: { readonly [kind in SiteKind]?: WeekdayWeights };
  readonly bySite: { readonly [siteId: string]: WeekdayWeights };
};

const LONGEST_S = 3.2 * 86_400;
const PRIOR_WEEKS = 30;
/** A kind, and a site, with fewer such intervals says nothing of its own. */
const LEAST_INTERVALS = 40;
/** One pickup counts for no more than this many times what its days usually bring. */
const MOST_TIMES = 3;
const ROUNDS = 6;

type Interval = { readonly parts: readonly number[]; readonly kg: number };
type SiteIntervals = { readonly history: SiteHistory; readonly intervals: readonly Interval[] };

/** Weights of the days on which a site is open, before anything was learnt. */
export function openWeights({ openWeekdays }: Pick<SiteHistory, 'openWeekdays'>): WeekdayWeights {
  const open = openWeekdays.filter(Boolean).length;
  return openWeekdays.map((isOpen) => (open === 0 ? 1 / 7 : isOpen ? 1 / open : 0));
}

export function learnWeekdays(
  histories: readonly SiteHistory[],
  untilAt: Instant = Number.POSITIVE_INFINITY,
): Weekdays {
  const byKind: { [kind in SiteKind]?: WeekdayWeights } = {};
  const bySite: { [siteId: string]: WeekdayWeights } = {};
  const sites = histories.map((history) => ({ history, intervals: shortIntervals(history, untilAt) }));
  for (const [kind, ofKind] of Map.groupBy(sites, ({ history }) => history.kind)) {
    const enough = ofKind.filter(({ intervals }) => intervals.length >= 5);
    if (enough.reduce((sum, { intervals }) => sum + intervals.length, 0) < LEAST_INTERVALS) continue;
    const flat = new Array<number>(7).fill(1 / 7);
    const weights = fitted(enough, flat);
    byKind[kind] = weights;
    for (const site of enough)
      if (site.intervals.length >= LEAST_INTERVALS) bySite[site.history.siteId] = fitted([site], weights);
  }
  return { byKind, bySite };
}

/** The weights that hold for a site: its own, its kind's, or none learnt; nothing comes on closed days. */
export function weekdayWeights(history: SiteHistory, learnt: Weekdays | undefined): WeekdayWeights {
  const own = learnt?.bySite[history.siteId] ?? learnt?.byKind[history.kind];
  const open = openWeights(history);
  if (!own) return open;
  const masked = own.map((weight, day) => (open[day]! > 0 ? weight : 0));
  const sum = masked.reduce((a, b) => a + b, 0);
  return sum > 0 ? masked.map((weight) => weight / sum) : open;
}

function shortIntervals(history: SiteHistory, untilAt: Instant): Interval[] {
  const days = zoneDays(history.zone);
  const found: Interval[] = [];
  let emptiedAt = history.isStartKnown ? history.fillsSinceAt : Number.NaN;
  for (const one of history.evidence) {
    if (one.at >= untilAt) break;
    const isNothing = one.kind === 'missed' && one.reason === 'nothing-there';
    if (one.kind !== 'picked-up' && !isNothing) continue;
    const kg = one.kind === 'picked-up' ? one.netKg : 0;
    const isWhole = one.kind !== 'picked-up' || (!one.foundFull && !one.leftKg);
    if (isWhole && kg !== undefined && one.at > emptiedAt && one.at - emptiedAt <= LONGEST_S)
      found.push({ kg, parts: partsByWeekday(days, emptiedAt, one.at) });
    emptiedAt = one.at;
  }
  return found;
}

/** How much of each weekday lies in a span, in days. */
function partsByWeekday(days: ReturnType<typeof zoneDays>, fromAt: Instant, untilAt: Instant): number[] {
  const parts = new Array<number>(7).fill(0);
  for (let day = days.dayNumberAt(fromAt); days.startAt(day) < untilAt; day++) {
    const startAt = days.startAt(day);
    const endAt = days.startAt(day + 1);
    parts[weekdayOf(day)]! += (Math.min(endAt, untilAt) - Math.max(startAt, fromAt)) / (endAt - startAt);
  }
  return parts;
}

function fitted(sites: readonly SiteIntervals[], prior: WeekdayWeights): WeekdayWeights {
  let weights = prior;
  for (let round = 0; round < ROUNDS; round++) {
    const came = prior.map((weight) => PRIOR_WEEKS * weight);
    const seen = new Array<number>(7).fill(PRIOR_WEEKS);
    for (const { history, intervals } of sites) {
      const open = openWeights(history);
      const held = weights.map((weight, day) => (open[day]! > 0 ? weight : 0));
      const exposure = ({ parts }: Interval) => parts.reduce((sum, part, day) => sum + part * held[day]!, 0);
      const kg = intervals.reduce((sum, one) => sum + one.kg, 0);
      const weeks = intervals.reduce((sum, one) => sum + exposure(one), 0);
      if (!(kg > 0 && weeks > 0)) continue;
      const perWeek = kg / weeks;
      for (const interval of intervals) {
        const e = exposure(interval);
        if (!(e > 0)) continue;
        const times = Math.min(MOST_TIMES, interval.kg / (perWeek * e));
        interval.parts.forEach((part, day) => {
          came[day]! += times * part * held[day]!;
          if (held[day]! > 0) seen[day]! += part;
        });
      }
    }
    const raw = came.map((sum, day) => sum / seen[day]!);
    const total = raw.reduce((a, b) => a + b, 0);
    weights = raw.map((weight) => weight / total);
  }
  return weights;
}
