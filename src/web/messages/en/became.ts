/** What the film became, on the page and in the year's record: accepted, in kilograms alone. */
import type { Kg, LocalDay } from '../../../core/quantity/units.ts';
import { formatsIn } from '../formats.ts';

const f = formatsIn('en');
const month = (yearMonth: string): string => f.monthYear(`${yearMonth}-01`);
const about = (isGuessed: boolean, kg: Kg): string => (isGuessed ? `about ${f.kg(kg)}` : f.kg(kg));

export const became = {
  title: 'What your film became',
  none: 'Nothing has been collected in the last twelve months.',
  /** The large figure. */
  accepted: (kg: Kg, isGuessed: boolean): string => (isGuessed ? `About ${f.kg(kg)}` : f.kg(kg)),
  lead: (months: number, share: number): string =>
    `of film was good enough to press in these ${months} months, ${f.percent(share)} of what we took.`,
  more: (kg: Kg): string => `${f.kg(kg)} more than in the twelve months before.`,
  less: (kg: Kg): string => `${f.kg(kg)} less than in the twelve months before.`,
  same: 'As much as in the twelve months before.',
  products: (items: readonly { readonly name: string; readonly units: number }[]): string =>
    `At the workshop’s recipe that is film for ${f.either(items.map(({ name, units }) => `${f.number(units)} × ${name}`))}.`,
  legendNow: 'accepted',
  legendOut: 'thrown out',
  legendBefore: 'accepted a year before',
  asTable: 'The months as a table',
  caption: 'Accepted is what was clean enough to press; the rest had to be thrown out.',
  captionGuessed: ' “About”: bags were counted there, not weighed.',
  month: 'Month',
  visits: 'Visits',
  taken: 'Taken',
  acceptedHead: 'Accepted',
  share: 'Share',
  yearBefore: 'Year before',
  soFar: 'so far',
  together: 'Together',
  monthName: month,
  monthShort: (yearMonth: string): string => f.monthShort(`${yearMonth}-01`),
  about,
  papers: 'For your own records',
  papersText: 'Statement and transfer records of a calendar year. Accepted, not collected, in kilograms.',
  yearPaper: (year: number): string => `${year} as PDF`,
  yearStatement: 'months (CSV)',
  yearTransfers: 'each collection (CSV)',

  paper: {
    title: (year: number): string => `Film collected in ${year}`,
    subject: (donor: string, workshop: string): string =>
      `Statement and transfer records: ${donor}, ${workshop}`,
    for: 'For',
    by: 'Collected by',
    period: 'Period',
    year: (year: number): string => `1 January to 31 December ${year}`,
    until: (year: number, day: LocalDay): string =>
      `1 January ${year} to ${f.dayYear(day)}; the year is not over`,
    made: 'Made on',
    statement: 'Statement',
    sentence: (accepted: Kg, collected: Kg, share: number): string =>
      `${f.kg(accepted)} of film were accepted, of ${f.kg(collected)} collected (${f.percent(share)}).`,
    meaning:
      'Accepted is film that was clean enough to go into the press: collected less what was thrown out. It is this figure that counts as kept from disposal. Kilograms only: no carbon figure is given.',
    guessed: (kg: Kg): string =>
      `${f.kg(kg)} of what was collected were not weighed but worked out from bags or full containers.`,
    transfers: 'Collections',
    transfersNote:
      'Plastic film, not hazardous. This list can serve as the schedule to a waste transfer note; where the law wants a signed note or codes, that note comes first. Keep it as long as your local rules say.',
    day: 'Day and time',
    place: 'Place',
    how: 'How',
    bags: 'Bags',
    collected: 'Collected',
    rejected: 'Thrown out',
    why: 'Why',
    accepted: 'Accepted',
    sum: 'Year',
    page: (page: number, pages: number): string => `Page ${page} of ${pages}`,
  },
};
