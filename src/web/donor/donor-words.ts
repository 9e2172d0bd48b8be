/** What only the donor's pages say. Plain words for somebody who has never seen the tool. */
import type { StopReason } from '../../core/planning/plan.ts';
import type { Instant, Kg } from '../../core/quantity/units.ts';
import type { BookingState } from '../../core/vocabulary.ts';
import { dateTime, dayLong, dayShort, kg, localDay, NBSP, number, time } from '../shared/format.ts';
import { gradeName } from '../shared/words.ts';
import type { CancelRefusal, ExtraRefusal, FullRefusal, QuoteRefusal, TakeRefusal } from './donor-deps.ts';
import type { DonorFill } from './donor-view.ts';

/** Why we come then, as one says it to the one who is visited: no money, no chances to three digits. */
export function whyThen(reason: StopReason | undefined): string {
  switch (reason?.code) {
    case 'promised':
      return 'That is the time we promised you.';
    case 'booked':
      return 'You asked us to come, and we said yes.';
    case 'overflow':
      return `We think your container could be full by ${dayLong(reason.riskUntilDay)}.`;
    case 'feeds-production':
      return reason.grade
        ? `The workshop is short of ${gradeName(reason.grade)}, and you have it.`
        : 'The workshop needs film, and you have it.';
    case 'on-the-way':
      return 'We pass close by on that day, so it costs the fewest kilometres.';
    case 'habit':
      return 'That is your usual day.';
    case 'fill':
    case 'pinned':
    case undefined:
      return 'By then enough will be waiting to be worth the drive.';
  }
}

export const bagsOf = (massKg: Kg, bagKg: Kg): string => {
  const bags = Math.round(massKg / bagKg);
  return `${number(bags)}${NBSP}${bags === 1 ? 'bag' : 'bags'}`;
};

/** "5–13 bags". */
export const bagsRange = ({ lowKg, highKg, bagKg }: DonorFill): string =>
  `${number(Math.round(lowKg / bagKg))}–${number(Math.round(highKg / bagKg))}${NBSP}bags`;

/** "about half full", so that a number is not the only thing to go by. */
export function fullness(share: number): string {
  if (share >= 0.95) return 'Full, or nearly';
  if (share >= 0.8) return 'Almost full';
  if (share >= 0.6) return 'More than half full';
  if (share >= 0.4) return 'About half full';
  if (share >= 0.15) return 'Less than half full';
  return 'Nearly empty';
}

export const STATE_WORDS: { readonly [state in BookingState]: string } = {
  waiting: 'We have your request',
  confirmed: 'Confirmed',
  done: 'Collected',
  cancelled: 'Cancelled',
};

/** What happens next, by the state of a booking. */
export function whatNext(
  state: BookingState,
  plannedAt: Instant | undefined,
  { zone, phone }: { readonly zone: string; readonly phone: string },
): string {
  const call = phone === '' ? 'call the workshop' : `call ${phone}`;
  switch (state) {
    case 'waiting':
      return `It goes into the next plan. As soon as a day is fixed, it stands here. If it is urgent, ${call}.`;
    case 'confirmed':
      return plannedAt === undefined
        ? 'We will come within the time you gave. The hour will stand here once the round is planned.'
        : `We plan to be there on ${dateTime(plannedAt, zone)}. Please have it where the driver can reach it.`;
    case 'done':
      return 'Thank you. The weight is in the table of your months.';
    case 'cancelled':
      return 'We will not come for this one. You can ask again at any time.';
  }
}

/** "Thu 26 Nov, 08:00 to Fri 27 Nov, 18:00", shorter within a day. */
export function windowWords(fromAt: Instant, untilAt: Instant, zone: string): string {
  const first = localDay(fromAt, zone);
  // The window is half-open: midnight at its end belongs to the day before.
  const last = localDay(untilAt - 1, zone);
  const isWhole = time(fromAt, zone) === '00:00' && time(untilAt, zone) === '00:00';
  if (isWhole) return first === last ? dayShort(first) : `${dayShort(first)} to ${dayShort(last)}`;
  if (first === last) return `${dayShort(first)}, ${time(fromAt, zone)} to ${time(untilAt, zone)}`;
  return `${dateTime(fromAt, zone)} to ${dateTime(untilAt, zone)}`;
}

/** "12 weigh-ins, the last of 34 kg on Thu 12 Nov": what our estimate rests on. */
export function restsOn(
  { basis }: DonorFill,
  last: { readonly at: Instant; readonly netKg?: Kg } | undefined,
  zone: string,
): string {
  if (basis.weighIns === 0)
    return 'So far it rests on what you told us alone; the first weigh-in will sharpen it.';
  const times = basis.weighIns === 1 ? 'one weigh-in' : `${number(basis.weighIns)} weigh-ins`;
  const lastly = last
    ? `, the last${last.netKg === undefined ? '' : ` of ${kg(last.netKg)}`} on ${dayShort(localDay(last.at, zone))}`
    : '';
  return `It rests on ${times} at your place${lastly}.`;
}

type Refusal = FullRefusal | ExtraRefusal | CancelRefusal | QuoteRefusal | TakeRefusal;
export const REFUSALS: {
  readonly [kind in Refusal['kind']]: {
    readonly status: 404 | 409 | 422;
    /** The field that it is about; '' for the form as a whole. */
    readonly field: string;
    readonly sentence: string;
  };
} = {
  'site-not-found': { status: 404, field: '', sentence: 'This place is not one of yours.' },
  'closed-all-window': {
    status: 422,
    field: 'untilDay',
    sentence:
      'By your opening hours nobody is there on these days. Choose others, or tell us about the hours.',
  },
  'window-over': {
    status: 422,
    field: 'untilDay',
    sentence: 'This day is over. Choose one that is still to come.',
  },
  'fact-differs': {
    status: 409,
    field: '',
    sentence: 'This form was sent before with other values. Look at your list of requests first.',
  },
  'still-to-come': {
    status: 422,
    field: '',
    sentence: 'The time of this report is still to come. Set the clock of your device, then say it again.',
  },
  'booking-not-found': { status: 404, field: '', sentence: 'There is no such request of yours.' },
  'booking-closed': {
    status: 409,
    field: '',
    sentence: 'Nothing can be changed any more: it was collected or cancelled meanwhile.',
  },
  'quote-not-found': { status: 404, field: '', sentence: 'There are no such days of yours. Ask anew.' },
  'no-such-offer': { status: 422, field: '', sentence: 'That day was not offered. Choose one of these.' },
  'quote-taken': {
    status: 409,
    field: '',
    sentence: 'You have chosen a day before. Ask anew for another one.',
  },
  'slot-taken': {
    status: 409,
    field: '',
    sentence:
      'Somebody was a moment quicker and took the last room on that day. These days are possible now.',
  },
  'quote-over': {
    status: 409,
    field: '',
    sentence: 'The ten minutes were over. We have looked again: these days are possible now.',
  },
};
