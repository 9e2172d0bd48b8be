/**
 * Every fact of the core in plain English: pages, run sheets and the command line say the same thing in the same
 * words. Facts in, sentences out, each number with its unit; nothing here decides anything. Longer than most files,
 * because whoever changes a word should see all the others.
 */
import type { Explanation, Moved } from '../../core/accumulation/explain.ts';
import type { Basis } from '../../core/accumulation/site-model.ts';
import {
  type LeftOut,
  MONEY_PARTS,
  type Money,
  type MoneyPart,
  type StopReason,
  type UnkeptPromise,
} from '../../core/planning/plan.ts';
import type { Instant, Kg, Micros } from '../../core/quantity/units.ts';
import type { BookingState, PlanState, StockKind } from '../../core/vocabulary.ts';
import type { LearntCalls } from '../../usecases/learn-calls.ts';
import { promisedWindow } from '../messages/en/words.ts';
import { sayIn } from '../messages/say.ts';
import * as f from './format.ts';

/** What the workshop counts and tells time in. */
export type Locale = { readonly zone: string; readonly currency: string };

// ---- single words ----------------------------------------------------------------------------------------

const { words } = sayIn('en');
/** The words that donors and drivers see as well; here in English. */
export const {
  gradeName,
  containers,
  siteKind: SITE_KIND_WORDS,
  commitment: COMMITMENT_WORDS,
  event: EVENT_WORDS,
  method: METHOD_WORDS,
  missed: MISSED_WORDS,
  reject: REJECT_WORDS,
} = words;

export const STOCK_WORDS: { readonly [k in StockKind]: string } = {
  opening: 'opening stock',
  collected: 'collected',
  delivery: 'delivered to the door',
  'take-back': 'taken back',
  'off-cut': 'off-cuts returned',
  bought: 'bought in',
  production: 'pressed',
  rejected: 'rejected',
  sold: 'sold',
  disposed: 'disposed of',
  correction: 'corrected',
};

export const PLAN_STATE_WORDS: { readonly [s in PlanState]: string } = {
  draft: 'Draft',
  published: 'Published',
  superseded: 'Replaced',
};

export const BOOKING_WORDS: { readonly [s in BookingState]: string } = {
  waiting: 'waiting for an answer',
  confirmed: 'confirmed',
  done: 'collected',
  cancelled: 'cancelled',
};

// ---- money -----------------------------------------------------------------------------------------------

/** A name for a table row, and what it stands for. */
export const MONEY_WORDS: {
  readonly [part in MoneyPart]: { readonly name: string; readonly means: string };
} = {
  distance: { name: 'Driving', means: 'the vans, per kilometre' },
  time: { name: 'Drivers’ time', means: 'from leaving the workshop to being back' },
  overtime: { name: 'Overtime', means: 'beyond the end of a shift' },
  unloading: { name: 'Unloading', means: 'each trip emptied at the workshop' },
  overflow: { name: 'Overflow', means: 'film lost and donors annoyed, as expected' },
  shortage: { name: 'Shortage', means: 'film to be bought in for production, as expected' },
  'store-overflow': { name: 'Full store', means: 'more than the store holds, as expected' },
  lateness: { name: 'Promises', means: 'kept outside their window, or not at all' },
  habit: { name: 'Habits', means: 'usual pickups moved or left out' },
  change: { name: 'Changes', means: 'differences from what was published' },
  'left-at-end': { name: 'Left at the end', means: 'what waits and what is in store after the last day' },
};

/** Parts that are not nothing, largest first. */
export const moneyParts = (money: Money): readonly { readonly part: MoneyPart; readonly micros: Micros }[] =>
  MONEY_PARTS.map((part) => ({ part, micros: money[part] }))
    .filter(({ micros }) => Math.abs(micros) >= 5000)
    .sort((a, b) => Math.abs(b.micros) - Math.abs(a.micros));

/** "+£9.00", "−£0.60". A word joiner, so that the sign stays with its figure. */
export const signed = (micros: Micros, currency: string): string =>
  `${micros < 0 ? '\u2212' : '+'}\u2060${f.money(Math.abs(micros), currency)}`;

/** "overflow +£9.00, shortage +£4.10, driving −£0.60": the largest three. */
export function moneyChange(money: Money, { currency }: Pick<Locale, 'currency'>): string {
  return moneyParts(money)
    .slice(0, 3)
    .map(({ part, micros }) => {
      return `${MONEY_WORDS[part].name.toLowerCase()} ${signed(micros, currency)}`;
    })
    .join(', ');
}

// ---- why a stop is there, and why a site is not -----------------------------------------------------------

const windowWords = (fromAt: Instant, untilAt: Instant, zone: string): string => {
  const sameDay = f.localDay(fromAt, zone) === f.localDay(untilAt - 1, zone);
  return sameDay
    ? `${f.dayShort(f.localDay(fromAt, zone))}, ${f.timeSpan(fromAt, untilAt, zone)}`
    : `${f.dateTime(fromAt, zone)} to ${f.dateTime(untilAt, zone)}`;
};

const detour = (reason: StopReason): string => `${f.km(reason.extraM)} and ${f.duration(reason.extraS)}`;

/** One short sentence without its full stop, for a list of stops. */
export const stopReason = (reason: StopReason, { zone }: Pick<Locale, 'zone'>): string =>
  words.stopReason(reason, zone);

/** The same in a narrow column: "41 % overflow by Tue", "on the way, 16 min". */
export function stopReasonShort(reason: StopReason, { zone }: Pick<Locale, 'zone'>): string {
  // Word joiners keep a window in one piece.
  const window = promisedWindow(reason, zone).replace('\u2013', '\u2060\u2013\u2060');
  switch (reason.code) {
    case 'promised':
      return `promised${window}`;
    case 'booked':
      return `booked${window}`;
    case 'pinned':
      return 'pinned';
    case 'overflow':
      return `${f.percent(reason.overflowRisk)} overflow by${f.NBSP}${f.weekday(reason.riskUntilDay)}`;
    case 'feeds-production':
      return reason.grade && reason.shortDay
        ? `feeds ${gradeName(reason.grade)}, ${f.weekday(reason.shortDay)}`
        : 'feeds production';
    case 'on-the-way':
      return `on the way, ${f.duration(reason.extraS)}`;
    case 'fill':
      return `worth ${f.km(reason.extraM)} more`;
    case 'habit':
      return 'usual pickup';
  }
}

/** What else there is to say of a stop: its detour, its risk, and what dropping it would do. */
export function stopConsequence(reason: StopReason, locale: Locale): string {
  const parts = moneyChange(reason.withoutIt, locale);
  const worth = f.money(Math.abs(reason.worthMicros), locale.currency);
  const because = parts === '' ? '' : ` (${parts})`;
  const dropping =
    reason.worthMicros >= 0
      ? `Dropping it would cost ${worth} more${because}.`
      : `Dropping it would save ${worth}${because}.`;
  return `It takes ${detour(reason)}. ${dropping}`;
}

const cheapest = (out: LeftOut, currency: string): string =>
  out.bestDay === undefined || out.addsMicros === undefined
    ? ''
    : ` Cheapest on ${f.dayShort(out.bestDay)}: it would ${out.addsMicros < 0 ? 'save' : 'add'} ${f.money(Math.abs(out.addsMicros), currency)}.`;

/** Why a site waits, in whole sentences. */
export function leftOut(out: LeftOut, { currency }: Pick<Locale, 'currency'>): string {
  const fill = `About ${f.kg(out.expectedKgAtEnd)} at the end, chance of overflow ${f.percent(out.overflowRisk)}.`;
  const why: { readonly [code in LeftOut['code']]: string } = {
    'too-empty': 'Not full enough yet.',
    far: 'Further away than what waits there is worth.',
    'shift-full': 'No time is left in the shifts on the days it is open.',
    'van-full': 'No payload or load space is left in the vans.',
    closed: 'It is closed on every day that has a shift.',
    'store-full': 'The workshop’s store could not take it.',
    'no-shift': 'No van is on the road in these days.',
  };
  return `${why[out.code]} ${fill}${cheapest(out, currency)}`;
}

const PROMISE: { readonly [kind in UnkeptPromise['kind']]: string } = {
  rule: 'A promised pickup',
  booking: 'An extra collection',
  pinned: 'A pinned visit',
};
const UNKEPT_WHY: { readonly [why in UnkeptPromise['why']]: string } = {
  'no-shift': 'no van is on the road then',
  closed: 'the site is closed then',
  'window-outside-shift': 'the promised hours lie outside every shift',
  'too-far': 'no shift is long enough to drive there and back',
  'too-heavy': 'what waits there is heavier than any van may carry',
  'too-bulky': 'what waits there is more than any load space holds',
  'no-time': 'the shifts of that day have no time left',
  'no-room': 'the vans of that day have no room left',
};
const UNKEPT_MEND: { readonly [mend in UnkeptPromise['mend']]: string } = {
  'add-shift': 'Add a shift on that day.',
  'longer-shift': 'Make a shift of that day longer, within the driver’s legal hours.',
  'wider-window': 'Agree a wider window with the donor.',
  'bigger-van': 'Put a bigger van on that day.',
  'second-van': 'Put a second van on that day.',
  'move-another': 'Move another promise to a different day.',
};

/** Why a promise cannot be kept, and what would mend it. */
export const unkeptPromise = (
  promise: UnkeptPromise,
  { zone }: Pick<Locale, 'zone'>,
): { readonly what: string; readonly mend: string } => ({
  what: `${promiseWords(promise, { zone })} cannot be kept: ${UNKEPT_WHY[promise.why]}.`,
  mend: UNKEPT_MEND[promise.mend],
});

/** "A promised pickup on Tue 16 Jun, 09:00–12:00". */
export const promiseWords = (
  { kind, windowFromAt, windowUntilAt }: UnkeptPromise,
  { zone }: Pick<Locale, 'zone'>,
): string => `${PROMISE[kind]} on ${windowWords(windowFromAt, windowUntilAt, zone)}`;

// ---- how full, and how we know ---------------------------------------------------------------------------

export type FillWords = {
  readonly basis: Basis;
  /** Learnt rate in a normal week. */
  readonly kgPerWeek: Kg;
  readonly bagKg: Kg;
  readonly nowAt: Instant;
};

const plural = (count: number, one: string, many: string): string =>
  `${f.number(count)} ${count === 1 ? one : many}`;

/** What an estimate rests on: "12 weigh-ins, the last 9 days ago. Declared 40 bags a week; comes to about 29." */
export function fillBasis({ basis, kgPerWeek, bagKg, nowAt }: FillWords): string {
  const bags = f.number(kgPerWeek / bagKg);
  const declared = `${f.number(basis.declaredBagsPerWeek)} bags a week`;
  const rests =
    basis.weighIns === 0 || basis.lastWeighInAt === undefined
      ? 'No weigh-in yet.'
      : `${plural(basis.weighIns, 'weigh-in', 'weigh-ins')}, the last ${f.ago(basis.lastWeighInAt, nowAt)}.`;
  const comes = `Declared ${declared}; comes to about ${bags} (${f.kg(kgPerWeek)}).`;
  const doubted =
    basis.doubted.length === 0
      ? ''
      : ` ${plural(basis.doubted.length, 'weigh-in did', 'weigh-ins did')} not fit the rest and ${basis.doubted.length === 1 ? 'counts' : 'count'} for less.`;
  return `${rests} ${comes}${doubted}`;
}

/**
 * "About 34 kg waiting (20–48 kg), 71 % of the brim; up to 3 kg more may stand beside it." What waits in a container
 * is at most its brim, here as in every list; what has come beyond is said apart. Masses are given without the brim.
 */
export const fillNow = (fill: {
  readonly medianKg: Kg;
  readonly lowKg: Kg;
  readonly highKg: Kg;
  readonly capacityKg: Kg;
  readonly overflowRisk: number;
  readonly untilDay: string;
}): string => {
  const held = (massKg: Kg): Kg => Math.min(massKg, fill.capacityKg);
  const range = f.kgRange(held(fill.lowKg), held(fill.highKg));
  const besideKg = fill.highKg - fill.capacityKg;
  const beside = besideKg > 0.05 ? `; up to ${f.kg(besideKg)} more may stand beside it` : '';
  const now =
    fill.medianKg >= fill.capacityKg
      ? `Probably full: about ${f.kg(fill.capacityKg)} waiting (${range})${beside}.`
      : `About ${f.kg(fill.medianKg)} waiting (${range}), ${f.percent(fill.medianKg / fill.capacityKg)} of the brim${beside}.`;
  return `${now} Chance of overflow by ${f.dayShort(fill.untilDay)}: ${f.percent(fill.overflowRisk)}.`;
};

/** Since when the level has changed, and by how much: new rate over old. */
export type LevelChange = NonNullable<Basis['levelChange']>;

/** "rate about doubled since 14 March 2026". */
export function levelChangeWords({ at, factor }: LevelChange, zone: string): string {
  const since = `since ${f.dayYear(f.localDay(at, zone))}`;
  return `rate ${factorWords(factor)} ${since}`;
}

/** Round words where they fit to about a tenth, per cent elsewhere. */
function factorWords(factor: number): string {
  const round: readonly (readonly [number, string])[] = [
    [1 / 3, 'about a third of what it was'],
    [0.5, 'about halved'],
    [2, 'about doubled'],
    [3, 'about trebled'],
  ];
  const near = round.find(([value]) => Math.abs(Math.log(factor / value)) < 0.13);
  if (near) return near[1];
  if (factor > 3) return `about ${f.number(factor)} times what it was`;
  const percent = f.number(10 * Math.round(10 * Math.abs(factor - 1)));
  return Math.abs(factor - 1) < 0.05
    ? 'about the same'
    : `${factor > 1 ? 'up' : 'down'} by about ${percent}${f.NBSP}%`;
}

/** What moved an estimate beside the steady run of weigh-ins, in a clause without its full stop. */
export function movedWords(moved: Moved, zone: string): string {
  const day = f.dayShort(f.localDay(moved.at, zone));
  switch (moved.kind) {
    case 'report':
      return `the donor said on ${day} that there are at least ${f.kg(moved.kg)}`;
    case 'level-change':
      return levelChangeWords(moved, zone);
    case 'doubted':
      return `the weigh-in of ${day} did not fit and counts ${f.percent(moved.weight)}`;
    case 'surge':
      return `an event from ${day} on was announced to bring ${f.kg(moved.expectedKg)}`;
    case 'closed':
      return `it was closed for a part of the time since ${day}, so ${f.percent(moved.shareOpen)} of the usual came`;
    case 'level-of-all':
      return `all sites together bring ${f.percent(moved.factor)} of their usual rate at present`;
  }
}

/** "Full between Sat 14 and Tue 24 Nov, most likely about Wed 18 Nov, if nobody calls." */
export function fullWords(
  { p10, p50, p90 }: Explanation['fullInDays'],
  nowAt: Instant,
  zone: string,
): string {
  const day = (inDays: number): string => f.dayShort(f.localDay(nowAt + inDays * 86_400, zone));
  if (p10 === undefined) return 'Not full within four months, if nobody calls.';
  if (p50 === 0) return 'It is more likely full than not.';
  const early = p10 === 0 ? 'at any time from now' : `from ${day(p10)}`;
  const middle = p50 === undefined ? '' : `, most likely about ${day(p50)}`;
  const late = p90 === undefined ? '' : `, almost surely by ${day(p90)}`;
  return `If nobody calls, it may be full ${early} on${middle}${late}.`;
}

/** How far a donor is counted on to say that it is getting full, and on what that rests. */
export function callsWords({ calls, silent, counted, isSilenceHeard }: LearntCalls): string {
  const record =
    calls + silent === 0
      ? 'It has not happened yet.'
      : `In a year it said so ${times(calls)}, and was found full without a word ${times(silent)}.`;
  if (!counted) return `Nobody is counted on to say when it is getting full. ${record}`;
  return `Counted on to say that it is getting full, before it overflows, in ${f.percent(counted.reliability)} of all cases. ${record}${isSilenceHeard ? ' While it says nothing, plans take less to be there.' : ''}`;
}
const times = (count: number): string =>
  count === 0 ? 'never' : count === 1 ? 'once' : `${f.number(count)} times`;

/** Opening hours of the import file, `mo-fr 08:00-18:00; sa 09:00-13:00`, as a person writes them. */
export const hoursWords = (text: string): string =>
  text
    .replaceAll(/\b(mo|tu|we|th|fr|sa|su)\b/g, (code) => WEEKDAY_NAMES[code] ?? code)
    .replaceAll('-', '\u2013')
    .replaceAll(/,(?=\S)/g, ', ')
    .replaceAll(/;\s*/g, '; ');
const WEEKDAY_NAMES: { readonly [code: string]: string } = {
  mo: 'Mon',
  tu: 'Tue',
  we: 'Wed',
  th: 'Thu',
  fr: 'Fri',
  sa: 'Sat',
  su: 'Sun',
};
