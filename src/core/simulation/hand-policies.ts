/**
 * What a coordinator does with a pencil: rules of thumb to compare the planner with. Each knows the same facts, drives
 * its stops in a good order (2-opt, Croes 1958) and is driven by the same rules. Common practice, no source.
 */
import type { Kg } from '../quantity/units.ts';
import { legM, legS } from '../routing/travel-table.ts';
import type { Morning, Policy, SiteFacts } from './policy.ts';
import type { World } from './world.ts';
import { isOpenOn } from './world-site.ts';

/** Most stops that anybody would put on one sheet. */
const MOST_STOPS = 22;
/** Weight of the newest rate in a smoothed rate: simple exponential smoothing (Brown 1959). */
const SMOOTHING = 0.3;
/** What a donor who has called holds, as a share of the container. */
const CALLED_SHARE = 0.9;
/** Stops that are not worth a second trip: whoever chooses anew every morning fetches them then. */
const LEAVES_AT_MOST = 2;
/** How often the fixed round is thought over. */
const REVIEW_DAYS = 91;

/** Kilograms a day, smoothed over the pickups so far; before the first, what was declared. */
function ratePerDayKg({ history }: SiteFacts): Kg {
  let rate = (history.declaredBagsPerWeek * history.bagKg) / 7;
  let before = history.fillsSinceAt;
  let seen = 0;
  for (const entry of history.evidence) {
    if (entry.kind !== 'picked-up') continue;
    const kg = entry.netKg ?? (entry.bags ?? 0) * history.bagKg;
    const days = Math.max(0.5, (entry.at - before) / 86_400);
    before = entry.at;
    // Anybody doubts a tenfold figure.
    const perDay = Math.min(kg / days, seen === 0 ? Infinity : 4 * rate);
    rate = seen === 0 ? perDay : rate + SMOOTHING * (perDay - rate);
    seen++;
  }
  return rate;
}

/** Estimated share of the container that is full on that day, with announced events and calls. */
function fillShare(morning: Morning, site: number): number {
  const { world, day, facts } = morning;
  const { history, emptiedDay, hasCalled } = facts[site]!;
  const days = day - Math.max(0, emptiedDay) + 0.5;
  const { capacityKg } = world.sites[site]!;
  // What the van had no room for last time still stands there.
  const last = history.evidence.findLast((entry) => entry.kind === 'picked-up');
  let kg = (last?.leftKg ?? 0) + ratePerDayKg(facts[site]!) * days;
  const sinceAt = history.fillsSinceAt + emptiedDay * 86_400;
  const nowAt = history.fillsSinceAt + day * 86_400;
  for (const surge of history.surges)
    if (surge.endsAt > sinceAt && surge.endsAt <= nowAt) kg += surge.expectedBags * history.bagKg;
  const share = kg / capacityKg;
  return hasCalled ? Math.max(share, CALLED_SHARE) : share;
}

/** From the workshop always to the nearest, then stretches turned round while that is shorter. */
export function shortRound({ travel, sites }: World, stops: readonly number[]): number[] {
  const at = (i: number): number => (i < 0 ? 0 : sites[i]!.place);
  const metres = (a: number, b: number): number => legM(travel, at(a), at(b));
  const left = new Set(stops);
  const order: number[] = [];
  let here = -1;
  while (left.size > 0) {
    let next = -1;
    for (const stop of left) if (next < 0 || metres(here, stop) < metres(here, next)) next = stop;
    order.push(next);
    left.delete(next);
    here = next;
  }
  const tour = [-1, ...order, -1];
  for (let improved = true; improved; ) {
    improved = false;
    for (let i = 1; i < tour.length - 2; i++)
      for (let j = i + 1; j < tour.length - 1; j++) {
        const before = metres(tour[i - 1]!, tour[i]!) + metres(tour[j]!, tour[j + 1]!);
        const after = metres(tour[i - 1]!, tour[j]!) + metres(tour[i]!, tour[j + 1]!);
        if (after >= before) continue;
        for (let a = i, b = j; a < b; a++, b--) [tour[a], tour[b]] = [tour[b]!, tour[a]!];
        improved = true;
      }
  }
  return tour.slice(1, -1);
}

const isOpen = (morning: Morning, site: number): boolean => isOpenOn(morning.world.sites[site]!, morning.day);
const allSites = ({ world }: Morning): number[] => world.sites.map((_, i) => i);

/** Donors who called are fetched on the next workday, or on every so manieth; the longest waiting first. */
export function callWhenFull(everyWorkdays = 1): Policy {
  const calledOn = new Map<number, number>();
  let workdays = -1;
  return {
    name: 'call',
    leavesAtMost: LEAVES_AT_MOST,
    decide(morning) {
      for (const i of allSites(morning)) {
        if (!morning.facts[i]!.hasCalled) calledOn.delete(i);
        else if (!calledOn.has(i)) calledOn.set(i, morning.day);
      }
      workdays++;
      if (workdays % everyWorkdays !== 0) return [];
      const waiting = [...calledOn.keys()]
        .filter((i) => isOpen(morning, i))
        .sort((a, b) => calledOn.get(a)! - calledOn.get(b)! || a - b);
      return shortRound(morning.world, withinShift(morning, waiting));
    },
  };
}

/** All that seem full enough, fullest first, as long as the shift lasts. */
export function fullestFirst(threshold = 0.6): Policy {
  return {
    name: 'fullest',
    leavesAtMost: LEAVES_AT_MOST,
    decide(morning) {
      const full = allSites(morning)
        .map((i) => ({ i, share: fillShare(morning, i) }))
        .filter(({ i, share }) => share >= threshold && isOpen(morning, i))
        .sort((a, b) => b.share - a.share || a.i - b.i)
        .map(({ i }) => i);
      return shortRound(morning.world, withinShift(morning, full));
    },
  };
}

/** From the workshop always to the nearest of those that seem full enough. */
export function nearestFirst(threshold = 0.6): Policy {
  return {
    name: 'nearest',
    leavesAtMost: LEAVES_AT_MOST,
    decide(morning) {
      const { world } = morning;
      const full = new Set(
        allSites(morning).filter((i) => isOpen(morning, i) && fillShare(morning, i) >= threshold),
      );
      const stops: number[] = [];
      let place = 0;
      while (full.size > 0 && stops.length < MOST_STOPS) {
        let next = -1;
        let least = Infinity;
        for (const i of full) {
          const metres = legM(world.travel, place, world.sites[i]!.place);
          if (metres < least) {
            least = metres;
            next = i;
          }
        }
        stops.push(next);
        full.delete(next);
        place = world.sites[next]!.place;
      }
      return shortRound(world, withinShift(morning, stops));
    },
  };
}

/** As many of these, in their order, as a round by a good way can take in the shift. */
function withinShift({ world }: Morning, wanted: readonly number[]): number[] {
  const { travel, sites, prices, shiftHours, breakRule } = world;
  const mostS = 3600 * (shiftHours.until - shiftHours.from) - breakRule.breakS;
  let stops: number[] = [];
  for (const i of wanted.slice(0, MOST_STOPS)) {
    const order = shortRound(world, [...stops, i]);
    let place = 0;
    let seconds = prices.unloadS;
    for (const stop of order) {
      seconds += legS(travel, place, sites[stop]!.place) + sites[stop]!.serviceS;
      place = sites[stop]!.place;
    }
    seconds += legS(travel, place, 0);
    if (seconds <= mostS) stops = order;
  }
  return stops;
}

/**
 * The same sites on the same weekday, in sectors around the workshop: every week, every second where a container takes
 * `fortnightlyFrom` weeks to fill, twice a week where it takes less than `twiceBelow`. How often is set by what was
 * declared and thought over every quarter with what the pickups have shown.
 */
export function fixedRound(fortnightlyFrom = 3, twiceBelow = 0): Policy {
  let reviewedOn = -Infinity;
  /** Weekdays of each site, and of those every second week the week that is its own. */
  let weekdaysOf: number[][] = [];
  let ownWeek: (0 | 1 | undefined)[] = [];

  const review = ({ world, day, facts }: Morning): void => {
    reviewedOn = day;
    const perWeek = facts.map((site, i) => {
      const weeksToFull = world.sites[i]!.capacityKg / Math.max(0.01, 7 * ratePerDayKg(site));
      return weeksToFull >= fortnightlyFrom ? 0.5 : weeksToFull < twiceBelow ? 2 : 1;
    });
    // Sectors by the angle as seen from the workshop (Gillett & Miller 1974), one for each weekday, of equal work.
    const angle = (i: number): number => {
      const [x, y] = world.points[world.sites[i]!.place]!;
      return Math.atan2(y, x);
    };
    const tour = world.sites.map((_, i) => i).sort((a, b) => angle(a) - angle(b) || a - b);
    const work = (i: number): number => perWeek[i]! * (1 + 1e-9 * i);
    const total = tour.reduce((sum, i) => sum + work(i), 0);
    const shiftDays = world.shiftDays.flatMap((isOn, weekday) => (isOn ? weekday : []));
    let done = 0;
    weekdaysOf = world.sites.map(() => []);
    ownWeek = world.sites.map(() => undefined);
    tour.forEach((i, k) => {
      const at = Math.min(shiftDays.length - 1, Math.floor((shiftDays.length * done) / total));
      const halfAWeekOn = (at + Math.round(0.4 * shiftDays.length)) % shiftDays.length;
      weekdaysOf[i] = (perWeek[i] === 2 ? [at, halfAWeekOn] : [at]).map((day) =>
        openFrom(world.sites[i]!.isOpen, shiftDays, day),
      );
      if (perWeek[i] === 0.5) ownWeek[i] = k % 2 === 0 ? 0 : 1;
      done += work(i);
    });
  };

  return {
    name: 'fixed',
    decide(morning) {
      const { world, day } = morning;
      if (day - reviewedOn >= REVIEW_DAYS) review(morning);
      const week = Math.floor(day / 7) % 2;
      const today = allSites(morning).filter(
        (i) =>
          weekdaysOf[i]!.includes(day % 7) &&
          (ownWeek[i] === undefined || ownWeek[i] === week) &&
          isOpen(morning, i),
      );
      return shortRound(world, today);
    },
  };
}

/** The weekday of that shift, or of the next one on which the site is open. */
function openFrom(isOpenOnWeekday: readonly boolean[], shiftDays: readonly number[], at: number): number {
  for (let later = 0; later < shiftDays.length; later++) {
    const weekday = shiftDays[(at + later) % shiftDays.length]!;
    if (isOpenOnWeekday[weekday]) return weekday;
  }
  return shiftDays[at]!;
}
