/** The donor's own page. Plain words for somebody who has never seen the tool. */
import type { StopReason } from '../../../core/planning/plan.ts';
import type { Instant, Kg, LocalDay } from '../../../core/quantity/units.ts';
import { formatsIn, localDay, NBSP, time } from '../formats.ts';
import { words } from './words.ts';

const f = formatsIn('en');

export type DonorRange = { readonly lowKg: Kg; readonly highKg: Kg; readonly bagKg: Kg };
export type LastPickup = { readonly at: Instant; readonly netKg?: Kg };
export type ShutSpan = { readonly fromDay: LocalDay; readonly untilDay: LocalDay; readonly reason: string };

export const donor = {
  title: 'Your collections',
  kicker: (workshop: string): string => `${workshop} collects your soft plastic film`,
  places: 'Your places',
  noPlaces: 'None of your places is on our list at the moment. Call the workshop to be put on it.',
  back: 'Back to your collections',
  at: (site: string): string => ` at ${site}`,

  next: 'We come next',
  about: (clock: string): string => `about ${clock}`,
  fromUntil: (from: string, until: string): string => `${from} to ${until}`,
  promisedTime: 'That is the time we promised you. The hour follows when the round is planned.',
  bookedTime: 'You asked us to come, and we said yes. The hour follows when the round is planned.',
  usualTime: 'That is your usual day. It may still move when the round is planned.',
  noDay: 'No day is fixed yet. We come when enough is waiting, or before it overflows.',
  questions: (phone: string): string => `Questions? Call ${phone}.`,
  /** As one says it to the one who is visited: no money, no chances to three digits. */
  whyThen(reason: StopReason | undefined): string {
    switch (reason?.code) {
      case 'promised':
        return 'That is the time we promised you.';
      case 'booked':
        return 'You asked us to come, and we said yes.';
      case 'overflow':
        return `We think your container could be full by ${f.dayLong(reason.riskUntilDay)}.`;
      case 'feeds-production':
        return reason.grade
          ? `The workshop is short of ${words.gradeName(reason.grade)}, and you have it.`
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
  },

  full: {
    title: 'How full we think it is',
    brim: 'brim',
    picture: (middle: number, low: number, high: number): string =>
      `About ${f.number(100 * middle)} % full, between ${f.number(100 * low)} and ${f.number(100 * high)} %`,
    /** "about half full", so that a number is not the only thing to go by. */
    name(share: number): string {
      if (share >= 0.95) return 'Full, or nearly';
      if (share >= 0.8) return 'Almost full';
      if (share >= 0.6) return 'More than half full';
      if (share >= 0.4) return 'About half full';
      if (share >= 0.15) return 'Less than half full';
      return 'Nearly empty';
    },
    about: 'About ',
    range: ({ lowKg, highKg, bagKg }: DonorRange, medianKg: Kg): string =>
      ` (${f.number(Math.round(lowKg / bagKg))}–${f.number(Math.round(highKg / bagKg))}${NBSP}bags), ${f.kg(medianKg)} (${f.kgRange(lowKg, highKg)}). Four times in five it lies in that range.`,
    fullBy: (day: LocalDay): string => `Probably full by ${f.dayShort(day)}.`,
    restsOn(weighIns: number, last: LastPickup | undefined, zone: string): string {
      if (weighIns === 0)
        return 'So far it rests on what you told us alone; the first weigh-in will sharpen it.';
      const times = weighIns === 1 ? 'one weigh-in' : `${f.number(weighIns)} weigh-ins`;
      const lastly = last
        ? `, the last${last.netKg === undefined ? '' : ` of ${f.kg(last.netKg)}`} on ${f.dayShort(localDay(last.at, zone))}`
        : '';
      return `It rests on ${times} at your place${lastly}.`;
    },
    ask: 'Is there more in it than that?',
    press: { half: 'Half full', most: 'Three quarters', full: 'It is full' },
    hint: 'One press tells us, and the next plan counts on it. Full: we look whether we can come sooner. Less than usual needs no word: the next weigh-in shows it.',
    said: (at: Instant, fraction: number, zone: string): string =>
      `You told us that it is ${fraction >= 1 ? 'full' : `at least ${f.percent(fraction)} full`}, ${f.dayShort(localDay(at, zone))} at ${time(at, zone)}. The next plan counts on it.`,
    thanks: (site: string): string =>
      `Thank you: we know that ${site} is full. We look whether we can come sooner.`,
    thanksPart: (site: string, fraction: number): string =>
      `Thank you: we now take ${site} to be at least ${f.percent(fraction)} full.`,
  },

  extra: {
    title: 'More than usual?',
    text: 'After a festival, a delivery or a clear-out we come for it separately. It takes a minute.',
    ask: 'Ask for an extra collection',
  },

  agreed: {
    title: 'What we agreed',
    none: 'No fixed days: we come when it is worth the drive, and before it overflows.',
    closed: 'Closed',
    shut: ({ fromDay, untilDay, reason }: ShutSpan): string =>
      `${fromDay === untilDay ? f.dayShort(fromDay) : `${f.dayShort(fromDay)} to ${f.dayShort(untilDay)}`}${reason === '' ? '' : ` (${reason})`}`,
    dates: 'The next dates',
  },

  place: {
    open: 'Pause, access and contact',
    link: 'Holidays, access, contact',
    pause: 'Pause for holidays',
    pauseText: 'On these days nobody is there, and hardly any film comes in. We plan around them.',
    from: 'First day closed',
    until: 'Last day closed',
    reason: 'Why (may be left empty)',
    pauseNow: 'Pause these days',
    pauses: 'Days you are closed',
    noPauses: 'None ahead.',
    takeBack: 'Take it back',
    access: 'Access',
    accessText: 'What the driver should know every time: gate, key, ramp, where it stands.',
    contact: 'Contact',
    contactName: 'Whom to ask for',
    phone: 'Phone',
    email: 'E-mail',
    emailHint: 'We write here when a visit moves or an extra collection is confirmed.',
    keep: 'Keep',
    kept: 'Kept. The driver sees it from now on.',
    paused: 'Noted: we plan around these days.',
    resumed: 'Taken back: we plan these days as usual.',
    wrong: {
      day: 'Choose a day',
      order: 'The last day comes before the first',
      past: 'These days are over',
      long: 'That is more than a year: call us instead',
      many: 'There are many pauses already; take one back first',
      text: 'Keep it shorter',
      email: 'Type an address such as name@place.example, or leave it empty',
    },
  },

  people: {
    title: 'Who can see this page',
    text: 'Everyone here has a private link of their own. A link that was lost can be ended without ending the others.',
    you: 'you',
    since: (day: LocalDay): string => `since ${f.dayYearShort(day)}`,
    until: (day: LocalDay): string => `until ${f.dayYearShort(day)}`,
    end: 'End this link',
    ended: 'The link was ended. Nobody comes in by it any more.',
    more: 'For another person’s link, ask the workshop.',
  },

  calendar: {
    title: 'In your own calendar',
    text: 'A private address that your calendar program reads: our visits, moved or called off as plans change. A new address ends the one before.',
    make: 'Make a calendar address',
    page: 'Your calendar',
    how: 'In your calendar program, choose to subscribe to a calendar by its address, and paste this one. Whoever has it can read when we come to your places.',
    withdraw: 'Withdraw it again',
    withdrawn: 'Your calendar address was withdrawn. Nobody can read it any more.',
    shownOnce: 'It is shown this once. Copy it now; nobody can look it up again.',
    goodUntil: (day: LocalDay): string => `It works until ${f.dayYear(day)}.`,
  },
};
