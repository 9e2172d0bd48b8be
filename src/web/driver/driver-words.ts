/** What only the run sheet says: cautions, questions, outcomes and refusals as sentences. */
import type { Kg } from '../../core/quantity/units.ts';
import { kg, kgRange, litres, number, time } from '../shared/format.ts';
import { MISSED_WORDS, REJECT_WORDS } from '../shared/words.ts';
import type { LiftCaution } from './cautions.ts';
import type { MissedRefusal, WeighInRefusal } from './driver-deps.ts';
import type { Question } from './plausible.ts';
import type { RoundView, SiteStopView, StopOutcome } from './run-view.ts';
import type { LoadWarning, VanLoad } from './van-load.ts';

/** "9 bags (5–13)": whole bags, because nobody carries a third of one. */
export const bagsExpected = ({ expectedKg, lowKg, highKg, bagKg }: SiteStopView): string => {
  const bags = Math.round(expectedKg / bagKg);
  return `${number(bags)} ${bags === 1 ? 'bag' : 'bags'} (${number(Math.round(lowKg / bagKg))}–${number(Math.round(highKg / bagKg))})`;
};

export const kgExpected = ({ expectedKg, lowKg, highKg }: SiteStopView): string =>
  `${kg(expectedKg)} (${kgRange(lowKg, highKg)})`;

/** "680 L (400–1,020)". */
export const litresExpected = ({ expectedKg, lowKg, highKg, litresPerKg }: SiteStopView): string =>
  `${litres(expectedKg * litresPerKg)} (${number(lowKg * litresPerKg)}–${number(highKg * litresPerKg)})`;

const THING: { readonly [what in LiftCaution['what']]: string } = {
  bag: 'bag',
  sack: 'sack',
  'bulk-bag': 'full bulk bag',
  cage: 'full cage',
  'wheeled-bin': 'full wheeled bin',
  crate: 'full crate',
};

export const liftSentence = ({ what, kg: massKg, level }: LiftCaution): string =>
  level === 'assess'
    ? `A ${THING[what]} here is about ${kg(massKg)}: too much to be taken as safe for one person. Split it, use a trolley, or two of you.`
    : `A ${THING[what]} here is about ${kg(massKg)}: keep it close, between knee and elbow, and lift no higher.`;

export const loadSentence = (warning: LoadWarning, load: VanLoad, round: RoundView): string => {
  switch (warning) {
    case 'over-payload':
      return `Over the payload: ${kg(load.kg)} in a van that may carry ${kg(round.payloadKg)}. Do not drive on like this: unload first, or leave film behind.`;
    case 'over-load-space':
      return `By our reckoning the van is over-full: ${litres(load.litres)} in ${litres(round.loadSpaceL)}. Look before you load more; nothing may block the view, the doors or the straps.`;
    case 'nearly-full':
      return `Nearly full: ${kg(load.kg)} of ${kg(round.payloadKg)}, ${litres(load.litres)} of ${litres(round.loadSpaceL)}.`;
  }
};

export const passedSentence = (limit: 'payload' | 'load-space', name: string): string =>
  limit === 'payload'
    ? `As expected, the van would pass its payload at ${name}. Unload before, or leave a stop out.`
    : `As expected, the van would be full at ${name}. Unload before, or leave a stop out.`;

export const questionSentence = (asked: Question): string => {
  switch (asked.kind) {
    case 'much-more':
    case 'much-less':
      return `Is ${kg(asked.kg)} right? We expected ${kgRange(asked.lowKg, asked.highKg)}.`;
    case 'over-payload':
      return `Is ${kg(asked.kg)} right? The van may carry ${kg(asked.payloadKg)} in all.`;
    case 'odd-bags':
      return `Is that right? It comes to ${kg(asked.kgPerBag)} a bag; here a bag is usually ${kg(asked.bagKg)}.`;
  }
};

/** "34 kg, 9 bags, found full; 2.0 kg thrown out (food)". */
export function outcomeWords(outcome: StopOutcome): string {
  if (outcome.kind === 'missed') {
    const note = outcome.note === '' ? '' : `: ${outcome.note}`;
    return `Not collected (${MISSED_WORDS[outcome.reason]})${note}`;
  }
  const { netKg, bags, foundFull, rejectedKg, rejectReason } = outcome;
  const what = [
    netKg === undefined ? undefined : kg(netKg),
    bags === undefined ? undefined : `${number(bags, bags % 1 === 0 ? 0 : 1)} ${bags === 1 ? 'bag' : 'bags'}`,
    foundFull ? 'found full' : undefined,
  ].filter(Boolean);
  return what.join(', ') + thrownOut(rejectedKg, rejectReason && REJECT_WORDS[rejectReason]);
}

const thrownOut = (rejectedKg: Kg, why: string | undefined): string => {
  if (rejectedKg === 0) return why ? `; some thrown out (${why})` : '';
  return `; ${kg(rejectedKg)} thrown out${why ? ` (${why})` : ''}`;
};

/** "08:00–12:00 and 13:00–17:00". */
export const openWords = (open: SiteStopView['open'], zone: string): string =>
  open.map(({ fromAt, untilAt }) => `${time(fromAt, zone)}–${time(untilAt, zone)}`).join(' and ');

type Refusal = WeighInRefusal | MissedRefusal;
export const REFUSALS: {
  readonly [kind in Refusal['kind']]: { readonly status: 404 | 409 | 422; readonly sentence: string };
} = {
  'stop-not-found': { status: 404, sentence: 'This stop is not on one of your rounds.' },
  'already-weighed': {
    status: 409,
    sentence: 'A weigh-in for this stop is already there. If it is wrong, correct it below.',
  },
  'not-the-latest': {
    status: 409,
    sentence: 'The weigh-in was corrected meanwhile. Look at what stands now before you correct it again.',
  },
  'already-missed': { status: 409, sentence: 'This stop was already handed in as not collected.' },
  'fact-differs': {
    status: 409,
    sentence:
      'This form was already handed in with other values. Look at what stands now; correct it if it is wrong.',
  },
  'still-to-come': {
    status: 422,
    sentence: 'The time of collection is still to come. Mend it, or leave it empty for now.',
  },
};
