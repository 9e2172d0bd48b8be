/** Single words of the trade, and why a stop is there. Numbers stand inside functions, never glued to fragments. */
import type { StopReason } from '../../../core/planning/plan.ts';
import type { Litres } from '../../../core/quantity/units.ts';
import type * as v from '../../../core/vocabulary.ts';
import { formatsIn, NBSP, timeSpan } from '../formats.ts';

const f = formatsIn('en');

const POLYMER: { readonly [p in v.Polymer]: string } = {
  ldpe: 'LDPE',
  hdpe: 'HDPE',
  pp: 'PP',
  'mixed-film': 'mixed film',
};
const COLOUR: { readonly [c in v.Colour]: string } = {
  clear: 'clear',
  white: 'white',
  black: 'black',
  warm: 'warm colours',
  cool: 'cool colours',
  green: 'green',
  printed: 'printed',
};
const CONTAINER: { readonly [k in v.ContainerKind]: readonly [one: string, many: string] } = {
  sack: ['sack', 'sacks'],
  'bulk-bag': ['bulk bag', 'bulk bags'],
  cage: ['cage', 'cages'],
  'wheeled-bin': ['wheeled bin', 'wheeled bins'],
  crate: ['crate', 'crates'],
};

/** "LDPE clear", "mixed film printed". */
function gradeName(grade: v.Grade): string {
  const polymer = (Object.keys(POLYMER) as v.Polymer[]).find((p) => grade.startsWith(`${p}-`))!;
  return `${POLYMER[polymer]} ${COLOUR[grade.slice(polymer.length + 1) as v.Colour]}`;
}

export const promisedWindow = (reason: StopReason, zone: string): string =>
  reason.windowFromAt !== undefined && reason.windowUntilAt !== undefined
    ? `, ${timeSpan(reason.windowFromAt, reason.windowUntilAt, zone)}`
    : '';

/** One short sentence without its full stop, for a list of stops. */
function stopReason(reason: StopReason, zone: string): string {
  switch (reason.code) {
    case 'promised':
      return `Promised by rule${promisedWindow(reason, zone)}`;
    case 'booked':
      return `Booked by the donor${promisedWindow(reason, zone)}`;
    case 'pinned':
      return 'Pinned by the coordinator';
    case 'overflow':
      return `${f.percent(reason.overflowRisk)} chance of overflow by ${f.dayShort(reason.riskUntilDay)} without it`;
    case 'feeds-production':
      return reason.grade && reason.shortDay
        ? `Keeps ${gradeName(reason.grade)} from running short on ${f.dayShort(reason.shortDay)}`
        : 'Keeps production from running short';
    case 'on-the-way':
      return `On the way: ${f.duration(reason.extraS)} extra`;
    case 'fill':
      return `Worth the detour of ${f.km(reason.extraM)} and ${f.duration(reason.extraS)}`;
    case 'habit':
      return 'A usual pickup';
  }
}

export const words = {
  gradeName,
  stopReason,
  /** "2 cages of 800 L each". */
  containers: (kind: v.ContainerKind, count: number, litresEach: Litres): string =>
    count === 1
      ? `1 ${CONTAINER[kind][0]} of ${f.litres(litresEach)}`
      : `${count} ${CONTAINER[kind][1]} of ${f.litres(litresEach)} each`,
  /** "1 bag", "9 bags". */
  bags: (count: number): string => `${f.number(count)}${NBSP}${count === 1 ? 'bag' : 'bags'}`,
  sacks: (count: number): string =>
    `${f.number(count, count % 1 === 0 ? 0 : 1)}${NBSP}${count === 1 ? 'sack' : 'sacks'}`,
  siteKind: {
    shop: 'shop',
    wholesaler: 'wholesaler',
    market: 'market',
    school: 'school',
    office: 'office',
    'drop-off': 'drop-off point',
    'one-off': 'one-off place',
  } satisfies { readonly [k in v.SiteKind]: string },
  commitment: {
    must: 'promised',
    usual: 'usual, may move',
  } satisfies { readonly [c in v.Commitment]: string },
  event: {
    festival: 'festival',
    'market-day': 'market day',
    'delivery-peak': 'delivery peak',
    clearance: 'clearance',
    'clean-up': 'clean-up',
    other: 'event',
  } satisfies { readonly [k in v.EventKind]: string },
  method: {
    scale: 'on the scale',
    'bag-count': 'bags counted',
    apportioned: 'share of a whole load',
    estimate: 'estimated',
  } satisfies { readonly [m in v.WeighMethod]: string },
  missed: {
    closed: 'closed',
    'nothing-there': 'nothing there',
    'no-access': 'could not get in',
    'unsafe-contents': 'contents looked unsafe',
    'van-full': 'van full',
    other: 'other',
  } satisfies { readonly [r in v.MissedReason]: string },
  reject: {
    food: 'food',
    sharps: 'sharps',
    pvc: 'PVC',
    'wrong-polymer': 'wrong plastic',
    wet: 'wet',
    unknown: 'unknown',
  } satisfies { readonly [r in v.RejectReason]: string },
};
