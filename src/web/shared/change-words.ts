/** Changes made by hand, what stands in their way and what follows from them, in sentences with their units. */
import type { Change, ChangeRefusal, Obstacle } from '../../core/planning/changes.ts';
import type { UnkeptPromise } from '../../core/planning/plan.ts';
import type { WeekFigures } from '../../core/planning/week-figures.ts';
import type { Consequences } from '../../core/planning/what-if.ts';
import { dateTime, dayLong, duration, kg, km, litres, money, number, percent, time } from './format.ts';
import type { Names } from './names.ts';
import { moneyChange, promiseWords, signed } from './words.ts';

/** Without its full stop. */
export function changeWords(change: Change, names: Names): string {
  if (change.kind === 'swap-drivers')
    return `The drivers of ${names.of('shift', change.shiftId)} and ${names.of('shift', change.withShiftId)} change places`;
  const site = names.of('site', change.siteId);
  const day = dayLong(change.day);
  switch (change.kind) {
    case 'skip':
      return `${site} is not visited on ${day}`;
    case 'pin':
      return `${site} is pinned to ${day}`;
    case 'unpin':
      return `${site} is no longer pinned to ${day}`;
    case 'add':
      return `${site} is visited on ${day}${byVan(change, names)}`;
    case 'move': {
      const isOtherDay = change.toDay !== undefined && change.toDay !== change.day;
      const where = isOtherDay ? ` from ${day} to ${dayLong(change.toDay)}` : ` on ${day}`;
      return `${site} moves${where}${byVan(change, names)}`;
    }
  }
}

const byVan = (
  { shiftId, position }: { readonly shiftId?: string | undefined; readonly position?: number | undefined },
  names: Names,
): string =>
  (shiftId === undefined ? '' : `, with ${names.of('shift', shiftId)}`) +
  (position === undefined ? '' : `, as stop ${number(position)}`);

export function obstacleWords(obstacle: Obstacle, names: Names): string {
  switch (obstacle.kind) {
    case 'closed':
      return `${names.of('site', obstacle.siteId)} is closed on ${dayLong(obstacle.day)}.`;
    case 'no-shift':
      return `No van is on the road on ${dayLong(obstacle.day)}.`;
    case 'hours-missed':
      return `${obstacle.shiftId === undefined ? dayLong(obstacle.day) : names.of('shift', obstacle.shiftId)}: whatever the order, somebody is closed when the van comes, or the workshop when it is back.`;
    case 'shift-exceeded':
      return `${names.of('shift', obstacle.shiftId)}: the round would end at ${time(obstacle.endAt, names.zone)}, ${duration(obstacle.byS)} later than the shift and its overtime allow (${time(obstacle.latestAt, names.zone)}).`;
    case 'van-over-payload':
      return `${names.of('shift', obstacle.shiftId)}: ${kg(obstacle.cautiousLoadKg)} to reckon with, and the van may carry ${kg(obstacle.payloadKg)}.`;
    case 'van-over-space':
      return `${names.of('shift', obstacle.shiftId)}: ${litres(obstacle.cautiousLoadL)} to reckon with, and the van holds ${litres(obstacle.loadSpaceL)}.`;
  }
}

export const CHANGE_REFUSAL_WORDS: { readonly [kind in ChangeRefusal['kind']]: string } = {
  'unknown-site': 'No such site is in these days. It may have left the register.',
  'unknown-day': 'The day is not among those of the plan that are still to come.',
  'unknown-shift': 'No van has that shift on that day, or it has left.',
  'not-planned': 'The site is not visited on that day.',
  'already-planned': 'The site is visited on that day already.',
  'not-pinned': 'The stop is not pinned.',
  'driver-has-other-shift': 'One of the two drives another van at that time.',
};

export const brokenPromiseWords = (promise: UnkeptPromise, names: Names): string =>
  `${promiseWords(promise, names)} at ${names.of('site', promise.siteId)} would be broken.`;

const more = (difference: number, words: string): string => `${words} ${difference > 0 ? 'more' : 'less'}`;
const total = (figures: WeekFigures, of: (day: WeekFigures['days'][number]) => number): number =>
  figures.days.reduce((sum, day) => sum + of(day), 0);

/** What follows, most important first; nothing where it cannot be reckoned. */
export function consequenceWords({ before, after, difference, sites }: Consequences, names: Names): string[] {
  if (!after || !difference) return [];
  const micros = after.costMicros - before.costMicros;
  const parts = moneyChange(difference, names);
  const because = parts === '' ? '' : `: ${parts}`;
  const costs =
    Math.abs(micros) < 5000
      ? `It costs the same in all${because}.`
      : `It ${micros > 0 ? 'costs' : 'saves'} ${money(Math.abs(micros), names.currency)}${micros > 0 ? ' more' : ''} in all${because}.`;
  const metres = total(after, (day) => day.distanceM) - total(before, (day) => day.distanceM);
  const seconds = total(after, (day) => day.durationS) - total(before, (day) => day.durationS);
  const road = [
    ...(Math.abs(metres) < 50 ? [] : [more(metres, km(Math.abs(metres)))]),
    ...(Math.abs(seconds) < 30 ? [] : [more(seconds, duration(Math.abs(seconds)))]),
  ];
  return [
    costs,
    road.length === 0 ? 'The vans drive as far and as long as before.' : `The vans: ${road.join(', ')}.`,
    ...changed('Expected overflow', before.overflowKg, after.overflowKg),
    ...changed('Expected shortage, to be bought in', before.shortageKg, after.shortageKg),
    ...fullerVans(before, after, names),
    ...sites.flatMap(({ before: then, after: now }) =>
      now && Math.abs(now.overflowRisk - then.overflowRisk) >= 0.005
        ? [
            `${names.of('site', then.siteId)}: chance of overflow before the van comes ${percent(now.overflowRisk)}, not ${percent(then.overflowRisk)}.`,
          ]
        : [],
    ),
  ];
}

/** From this difference on a chance is worth a sentence. */
const TELL_CHANCE = 0.05;

const fullerVans = (before: WeekFigures, after: WeekFigures, names: Names): string[] =>
  after.rounds.flatMap(({ shiftId, fullEarlyRisk }) => {
    const was = before.rounds.find((round) => round.shiftId === shiftId)?.fullEarlyRisk ?? 0;
    return Math.abs(fullEarlyRisk - was) < TELL_CHANCE
      ? []
      : [
          `${names.of('shift', shiftId)}: chance that the van is full before its last stop ${percent(fullEarlyRisk)}, not ${percent(was)}.`,
        ];
  });

const changed = (what: string, before: number, after: number): string[] =>
  Math.abs(after - before) < 0.05 ? [] : [`${what}: ${kg(after)}, not ${kg(before)}.`];

/** "by Ina at Tue 16 Jun, 09:12". */
export const whoAndWhen = (by: string, at: number | null, zone: string): string =>
  `${by === '' ? 'somebody' : by}${at === null ? '' : `, ${dateTime(at, zone)}`}`;

/** "+£3.20", "−£1.10", "no difference". */
export const signedMoney = (micros: number, currency: string): string =>
  Math.abs(micros) < 5000 ? 'no difference' : signed(micros, currency);
