/** What only the run sheet says: cautions, questions, outcomes and refusals as sentences. */
import type { Instant, Kg, Litres } from '../../../core/quantity/units.ts';
import type { ContainerKind, MissedReason, RejectReason } from '../../../core/vocabulary.ts';
import { formatsIn, time } from '../formats.ts';
import { words } from './words.ts';

const f = formatsIn('en');

/** What waits at a stop: middle and 80 % interval. */
export type Expected = {
  readonly expectedKg: Kg;
  readonly lowKg: Kg;
  readonly highKg: Kg;
  readonly bagKg: Kg;
  readonly litresPerKg: number;
};
export type Lift = {
  readonly what: 'bag' | ContainerKind;
  readonly kg: Kg;
  readonly level: 'heavy' | 'assess';
};
export type Load = { readonly kg: Kg; readonly litres: Litres };
export type Room = { readonly payloadKg: Kg; readonly loadSpaceL: Litres };
export type Outcome =
  | { readonly kind: 'missed'; readonly reason: MissedReason; readonly note: string }
  | {
      readonly kind: 'weighed';
      readonly netKg?: Kg;
      readonly bags?: number;
      readonly foundFull: boolean;
      readonly rejectedKg: Kg;
      readonly rejectReason?: RejectReason;
    };
export type Span = { readonly fromAt: Instant; readonly untilAt: Instant };
export type Asked =
  | { readonly kind: 'much-more' | 'much-less'; readonly kg: Kg; readonly lowKg: Kg; readonly highKg: Kg }
  | { readonly kind: 'over-payload'; readonly kg: Kg; readonly payloadKg: Kg }
  | { readonly kind: 'odd-bags'; readonly kgPerBag: Kg; readonly bagKg: Kg };

const THING: { readonly [what in Lift['what']]: string } = {
  bag: 'bag',
  sack: 'sack',
  'bulk-bag': 'full bulk bag',
  cage: 'full cage',
  'wheeled-bin': 'full wheeled bin',
  crate: 'full crate',
};

const thrownOut = (rejectedKg: Kg, why: string | undefined): string => {
  if (rejectedKg === 0) return why ? `; some thrown out (${why})` : '';
  return `; ${f.kg(rejectedKg)} thrown out${why ? ` (${why})` : ''}`;
};

export const driver = {
  /** "9 bags (5–13)": whole bags, because nobody carries a third of one. */
  bagsExpected({ expectedKg, lowKg, highKg, bagKg }: Expected): string {
    const of = (kg: Kg): string => f.number(Math.round(kg / bagKg));
    const bags = Math.round(expectedKg / bagKg);
    return `${of(expectedKg)} ${bags === 1 ? 'bag' : 'bags'} (${of(lowKg)}–${of(highKg)})`;
  },
  kgExpected: ({ expectedKg, lowKg, highKg }: Expected): string =>
    `${f.kg(expectedKg)} (${f.kgRange(lowKg, highKg)})`,
  /** "680 L (400–1,020)". */
  litresExpected: ({ expectedKg, lowKg, highKg, litresPerKg }: Expected): string =>
    `${f.litres(expectedKg * litresPerKg)} (${f.number(lowKg * litresPerKg)}–${f.number(highKg * litresPerKg)})`,
  lift: ({ what, kg, level }: Lift): string =>
    level === 'assess'
      ? `A ${THING[what]} here is about ${f.kg(kg)}: too much to be taken as safe for one person. Split it, use a trolley, or two of you.`
      : `A ${THING[what]} here is about ${f.kg(kg)}: keep it close, between knee and elbow, and lift no higher.`,
  load: {
    'over-payload': (load: Load, { payloadKg }: Room): string =>
      `Over the payload: ${f.kg(load.kg)} in a van that may carry ${f.kg(payloadKg)}. Do not drive on like this: unload first, or leave film behind.`,
    'over-load-space': (load: Load, { loadSpaceL }: Room): string =>
      `By our reckoning the van is over-full: ${f.litres(load.litres)} in ${f.litres(loadSpaceL)}. Look before you load more; nothing may block the view, the doors or the straps.`,
    'nearly-full': (load: Load, { payloadKg, loadSpaceL }: Room): string =>
      `Nearly full: ${f.kg(load.kg)} of ${f.kg(payloadKg)}, ${f.litres(load.litres)} of ${f.litres(loadSpaceL)}.`,
  },
  passed: {
    payload: (name: string): string =>
      `As expected, the van would pass its payload at ${name}. Unload before, or leave a stop out.`,
    'load-space': (name: string): string =>
      `As expected, the van would be full at ${name}. Unload before, or leave a stop out.`,
  },
  question(asked: Asked): string {
    switch (asked.kind) {
      case 'much-more':
      case 'much-less':
        return `Is ${f.kg(asked.kg)} right? We expected ${f.kgRange(asked.lowKg, asked.highKg)}.`;
      case 'over-payload':
        return `Is ${f.kg(asked.kg)} right? The van may carry ${f.kg(asked.payloadKg)} in all.`;
      case 'odd-bags':
        return `Is that right? It comes to ${f.kg(asked.kgPerBag)} a bag; here a bag is usually ${f.kg(asked.bagKg)}.`;
    }
  },
  /** "34 kg, 9 bags, found full; 2.0 kg thrown out (food)". */
  outcome(outcome: Outcome): string {
    if (outcome.kind === 'missed')
      return `Not collected (${words.missed[outcome.reason]})${outcome.note === '' ? '' : `: ${outcome.note}`}`;
    const { netKg, bags, foundFull, rejectedKg, rejectReason } = outcome;
    const what = [
      netKg === undefined ? undefined : f.kg(netKg),
      bags === undefined
        ? undefined
        : `${f.number(bags, bags % 1 === 0 ? 0 : 1)} ${bags === 1 ? 'bag' : 'bags'}`,
      foundFull ? 'found full' : undefined,
    ].filter(Boolean);
    return what.join(', ') + thrownOut(rejectedKg, rejectReason && words.reject[rejectReason]);
  },
  /** "08:00–12:00 and 13:00–17:00". */
  open: (spans: readonly Span[], zone: string): string =>
    spans.map(({ fromAt, untilAt }) => `${time(fromAt, zone)}–${time(untilAt, zone)}`).join(' and '),
  refusals: {
    'stop-not-found': 'This stop is not on one of your rounds.',
    'already-weighed': 'A weigh-in for this stop is already there. If it is wrong, correct it below.',
    'not-the-latest':
      'The weigh-in was corrected meanwhile. Look at what stands now before you correct it again.',
    'already-missed': 'This stop was already handed in as not collected.',
    'fact-differs':
      'This form was already handed in with other values. Look at what stands now; correct it if it is wrong.',
    'still-to-come': 'The time of collection is still to come. Mend it, or leave it empty for now.',
  },
};
