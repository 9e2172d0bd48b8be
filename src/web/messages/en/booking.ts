/** An extra collection: what there is, the days that are possible, and what became of the request. */
import type { Instant, Kg, Litres, LocalDay, Metres, Seconds } from '../../../core/quantity/units.ts';
import type { BookingState, EventKind } from '../../../core/vocabulary.ts';
import { formatsIn, localDay, NBSP, time } from '../formats.ts';
import { words } from './words.ts';

const f = formatsIn('en');

export type Wanted = {
  readonly expectedBags?: number;
  readonly expectedKg?: Kg;
  readonly eventKind?: EventKind;
};
/** What one guesses by. */
export type Measure = 'sacks' | 'cages' | 'pallets' | 'boots';

/** "Thu 26 Nov, 08:00 to Fri 27 Nov, 18:00", shorter within a day. */
function window(fromAt: Instant, untilAt: Instant, zone: string): string {
  const first = localDay(fromAt, zone);
  // The window is half-open: midnight at its end belongs to the day before.
  const last = localDay(untilAt - 1, zone);
  const isWhole = time(fromAt, zone) === '00:00' && time(untilAt, zone) === '00:00';
  if (isWhole) return first === last ? f.dayShort(first) : `${f.dayShort(first)} to ${f.dayShort(last)}`;
  if (first === last) return `${f.dayShort(first)}, ${time(fromAt, zone)} to ${time(untilAt, zone)}`;
  return `${f.dateTime(fromAt, zone)} to ${f.dateTime(untilAt, zone)}`;
}

/** "40 sacks, festival". */
function wanted({ expectedBags, expectedKg, eventKind }: Wanted): string {
  const much =
    expectedBags !== undefined
      ? words.sacks(expectedBags)
      : expectedKg !== undefined
        ? f.kg(expectedKg)
        : 'an extra collection';
  return eventKind === undefined ? much : `${much}, ${words.event[eventKind]}`;
}

export const booking = {
  window,
  wanted,
  title: 'An extra collection',
  changeTitle: 'Change an extra collection',
  events: {
    festival: 'A festival or street party',
    'market-day': 'A market day',
    'delivery-peak': 'More deliveries than usual',
    clearance: 'A clear-out or a move',
    'clean-up': 'A litter or shore clean-up',
    other: 'Something else',
  } satisfies { readonly [kind in EventKind]: string },
  askEvent: 'What leaves more film than usual?',
  askEnds: 'When does it end, or when did it?',
  endsHint: 'Over already? Leave it as it is.',
  askAmount: 'How much is there?',
  amountHint: 'A guess is good enough.',
  number: 'Number',
  countedIn: 'Counted in',
  measures: {
    sacks: 'full sacks',
    cages: 'full cages',
    pallets: 'pallets, chest-high',
    boots: 'car boots, full',
  } satisfies { readonly [m in Measure]: string },
  kilograms: 'kilograms',
  weighed: 'if you have weighed it',
  /** "about 800 L, 4 sacks". */
  measureIs: (litres: Litres, sacks: number | undefined): string =>
    sacks === undefined
      ? `about ${f.litres(litres)}`
      : `about ${f.litres(litres)}, ${f.number(sacks, sacks < 3 ? 1 : 0)}${NBSP}sacks`,
  askFrom: 'We can fetch it from',
  askUntil: 'until',
  askWhere: 'Where does it stand, and what should the driver know?',
  whereHint: 'Gate, key, ramp, whom to ask for. May be left empty.',
  askHazards: 'Is anything of this in it?',
  hazardsHint:
    'Our driver lifts it by hand. Please take needles, glass and anything you do not know out before; we may have to leave a sack behind.',
  hazards: {
    hazardSharp: 'Sharp things possible',
    hazardWet: 'Wet',
    hazardUnknown: 'Not sorted by hand, contents unknown',
  },
  hazardNone: 'None of these',
  seeDays: 'See the days',
  nothingFixed: 'Nothing is fixed yet: you choose a day next.',
  onlyTell: 'Only tell us about it',
  onlyTellHint: 'No visit of its own: we count on it when we plan.',
  wrong: {
    event: 'Choose what it was',
    ends: 'Say when it ends or ended',
    endsUnread: 'Choose a day and a time',
    endsFar: 'That is more than a year ahead',
    endsLong: 'That is more than two months ago',
    amount: 'Type a number, such as 40',
    nothing: 'Type how much there is; a guess is good enough',
    from: 'Choose the first day on which we can fetch it',
    until: 'Choose the last day on which we can fetch it',
    day: 'Choose a day',
    order: 'The last day comes before the first',
    over: 'This day is over. Choose one that is still to come.',
    early: 'The event is not over by then. Choose a later day.',
    long: 'Keep it under 1,000 letters',
    both: 'You ticked “none of these” and one of them. Which is it?',
    untold: 'Tick what fits, or “none of these”. Our driver lifts it by hand.',
  },

  chooseDay: 'Choose a day',
  noDayFits: 'No day fits yet',
  changeAsked: 'Change what you told us',
  toBeFetched: (asked: Wanted, fromAt: Instant, untilAt: Instant, zone: string): string =>
    `${wanted(asked)}, to be fetched ${window(fromAt, untilAt, zone)}.`,
  holdsUntil: (clock: string): string =>
    `These days hold for you until ${clock}, unless somebody takes the last room before. “On our way” is kindest to the planet: the fewest kilometres.`,
  staysAsItWas: 'Until you choose, your collection stays as it was. “Back” keeps it.',
  between: (hours: string, about: string): string => `${hours}, as things stand about ${about}`,
  onOurWay: 'on our way',
  comingAnyway: 'We call at your place on that day in any case.',
  /** "5.9 km and 12 min more for us, €5.95." */
  costs: (extraM: Metres, extraS: Seconds, money: string): string =>
    `${f.km(extraM)} and ${f.duration(extraS)} more for us, ${money}.`,
  take: 'Take it',
  noRoom:
    'On these days our vans have no room or no time left. A wider span of days helps most: change what you told us. Or leave the request with us. We look for a way and write to you as soon as there is a day.',
  leave: 'Leave the request',
  urgent: 'If it is urgent, call',

  requests: 'Your requests',
  announced: 'Announced',
  announcedText: (asked: Wanted, endsAt: Instant, zone: string): string =>
    `${wanted(asked)}, ends ${f.dateTime(endsAt, zone)}`,
  announcedDone: 'Thank you, we count on it. If it needs a visit of its own after all, ask for one.',
  callOff: 'Call it off',
  calledOff: 'Called off: we no longer count on it.',
  lookChange: 'Look, change or cancel',
  look: 'Look',
  planned: (day: LocalDay): string => `planned ${f.dayShort(day)}`,
  states: {
    waiting: 'We have your request',
    confirmed: 'Confirmed',
    done: 'Collected',
    cancelled: 'Cancelled',
  } satisfies { readonly [state in BookingState]: string },
  /** What happens next, by the state of a booking. */
  whatNext(
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
          : `We plan to be there on ${f.dateTime(plannedAt, zone)}. Please have it where the driver can reach it.`;
      case 'done':
        return 'Thank you. The weight stands under what your film became.';
      case 'cancelled':
        return 'We will not come for this one. You can ask again at any time.';
    }
  },
  what: 'What',
  eventEnds: 'Event ends',
  fetchIt: 'Fetch it',
  youSaid: 'You said',
  inIt: 'In it',
  nothingInIt: 'nothing sharp, wet or unknown',
  askedAt: 'Asked',
  changeIt: 'Change it',
  cancelIt: 'Cancel this collection',
  calendarFile: 'Put it in your calendar',
  calendarEntry: (site: string, workshop: string): string => `${workshop} fetches film: ${site}`,

  refusals: {
    'site-not-found': 'This place is not one of yours.',
    'closed-all-window':
      'By your opening hours nobody is there on these days. Choose others, or tell us about the hours.',
    'window-over': 'This day is over. Choose one that is still to come.',
    'fact-differs': 'This form was sent before with other values. Look at your list of requests first.',
    'still-to-come':
      'The time of this report is still to come. Set the clock of your device, then say it again.',
    'booking-not-found': 'There is no such request of yours.',
    'booking-closed': 'Nothing can be changed any more: it was collected or cancelled meanwhile.',
    'quote-not-found': 'There are no such days of yours. Ask anew.',
    'no-such-offer': 'That day was not offered. Choose one of these.',
    'quote-taken': 'You have chosen a day before. Ask anew for another one.',
    'slot-taken':
      'Somebody was a moment quicker and took the last room on that day. These days are possible now.',
    'quote-over': 'The ten minutes were over. We have looked again: these days are possible now.',
  },
};
