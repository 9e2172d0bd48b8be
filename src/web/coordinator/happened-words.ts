/** What the kinds of happenings and their facts are called on the forms. */
import type { FieldType } from '../../usecases/happened/fields.ts';
import type { HappeningKind } from '../../usecases/happened/kinds.ts';

export type HappeningWords = {
  readonly title: string;
  readonly about: string;
  readonly group: 'On the road' | 'At a site' | 'At the workshop';
};

export const HAPPENING_WORDS: { readonly [kind in HappeningKind]: HappeningWords } = {
  'van-off-road': {
    title: 'A van is off the road',
    about: 'It takes no round that begins after that, until it is back.',
    group: 'On the road',
  },
  'van-back': {
    title: 'A van is back on the road',
    about: 'It can be planned with again.',
    group: 'On the road',
  },
  'driver-away': {
    title: 'A driver is away',
    about: 'One shift falls out; the plan must do without it.',
    group: 'On the road',
  },
  'driver-back': {
    title: 'A driver can after all',
    about: 'A shift that had fallen out is there again.',
    group: 'On the road',
  },
  'round-started': {
    title: 'A round has left',
    about: 'For a driver who cannot say so. It then stays as it is, whatever is planned.',
    group: 'On the road',
  },
  'round-paused': { title: 'A round pauses', about: 'For a driver who cannot say so.', group: 'On the road' },
  'round-resumed': {
    title: 'A round goes on',
    about: 'For a driver who cannot say so.',
    group: 'On the road',
  },
  'round-finished': {
    title: 'A round is finished',
    about: 'For a driver who cannot say so. Stops that nobody handed in are named in the journal.',
    group: 'On the road',
  },
  'container-reported-full': {
    title: 'A container is full',
    about: 'Somebody called and said so. The estimate takes it as a hint.',
    group: 'At a site',
  },
  'surge-announced': {
    title: 'An event will bring film',
    about: 'More than usual will wait at a site. Without a promise to come: that is an extra collection.',
    group: 'At a site',
  },
  'surge-changed': {
    title: 'An event brings more or less',
    about: 'What was announced is said anew, as a whole.',
    group: 'At a site',
  },
  'surge-cancelled': {
    title: 'An event is called off',
    about: 'The film that it was to bring is expected no more.',
    group: 'At a site',
  },
  'stop-missed': {
    title: 'A stop was not collected',
    about: 'With the reason; the donor is told, and when we come next.',
    group: 'At a site',
  },
  'film-delivered': {
    title: 'Film was brought to the door',
    about: 'It goes into stock.',
    group: 'At the workshop',
  },
  'take-back-received': {
    title: 'Own products came home',
    about: 'A take-back goes into stock to be melted again.',
    group: 'At the workshop',
  },
  'stock-counted': {
    title: 'Stock was counted',
    about:
      'What lies there replaces what the ledger says; the difference stays in the ledger, with the reason.',
    group: 'At the workshop',
  },
  'stock-corrected': {
    title: 'Stock is more or less by so much',
    about: 'A known difference, with its reason.',
    group: 'At the workshop',
  },
  'load-weighed': {
    title: 'A whole load was weighed',
    about: 'Less what was weighed at its stops, it is shared over the stops that were only counted.',
    group: 'At the workshop',
  },
  'production-day-changed': {
    title: 'Production of a day changes',
    about: 'So many units, instead of what was planned. 0 takes the run out.',
    group: 'At the workshop',
  },
  'production-day-pressed': {
    title: 'Units were pressed',
    about:
      'What was pressed on a day, in one figure. Their film leaves the store, off-cuts that are melted again come back.',
    group: 'At the workshop',
  },
};

export const GROUPS = ['On the road', 'At a site', 'At the workshop'] as const;

type FieldWords = { readonly label: string; readonly hint?: string };
/** By the name of the fact; where it is not here, by its type. */
export const FIELD_WORDS: { readonly [name: string]: FieldWords } = {
  note: { label: 'Note', hint: 'Who brought it, what it was; may stay empty.' },
  reason: { label: 'Why' },
  name: { label: 'What the event is called', hint: 'May stay empty.' },
  at: { label: 'When', hint: 'Empty means now.' },
  from_at: { label: 'From when', hint: 'Empty means now.' },
  starts_at: { label: 'Begins' },
  ends_at: { label: 'Ends', hint: 'Film gathers up to then.' },
  expected_bags: { label: 'Bags expected', hint: 'Full bags, in all.' },
  kg: { label: 'Mass', hint: 'kg' },
  net_kg: { label: 'Net mass of the load', hint: 'kg, without van or cages' },
  counted_kg: { label: 'What lies there', hint: 'kg' },
  change_kg: { label: 'Difference', hint: 'kg; with a minus where there is less' },
  fraction: { label: 'How full', hint: '1 is full to the brim, 0.5 half; empty means full.' },
};
export const TYPE_WORDS: { readonly [type in FieldType]: string } = {
  site: 'Site',
  surge: 'Event',
  van: 'Van',
  shift: 'Shift',
  round: 'Round',
  stop: 'Stop',
  product: 'Product',
  grade: 'Grade',
  'event-kind': 'Kind of event',
  'missed-reason': 'Why',
  kg: 'Mass, kg',
  'change-kg': 'Difference, kg',
  bags: 'Bags',
  units: 'Units',
  fraction: 'How full',
  day: 'Day',
  instant: 'When',
  text: 'Note',
};
