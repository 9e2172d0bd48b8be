/**
 * The files that a workshop imports and exports: one table per kind. Header checks, `feedround import --help` and
 * README.md are all made from this.
 */
export type ColumnSpec = {
  readonly name: string;
  readonly isRequired: boolean;
  /** What goes in, with its unit, and an example. */
  readonly about: string;
};

export type TableSpec = {
  /** As the command line calls it. */
  readonly kind: string;
  readonly about: string;
  readonly columns: readonly ColumnSpec[];
};

const needed = (name: string, about: string): ColumnSpec => ({ name, isRequired: true, about });
const optional = (name: string, about: string): ColumnSpec => ({ name, isRequired: false, about });
const KEY = needed('key', 'your own stable key; importing the same key again changes that row');

export const TABLES = {
  sites: {
    kind: 'sites',
    about:
      'The donor register. GeoJSON (RFC 7946) with the same names as properties is read as well. A column that the file does not have leaves what is known as it is; an empty cell clears it.',
    columns: [
      KEY,
      optional('donor', 'key of the donor; empty: the site’s own key'),
      optional('donor_name', 'name of the donor; empty: the site’s name'),
      needed('name', 'what people call the place'),
      needed('kind', 'shop, wholesaler, market, school, office, drop-off or one-off'),
      needed('lat', 'latitude, decimal degrees WGS84'),
      needed('lon', 'longitude, decimal degrees WGS84'),
      optional('address', 'street and number'),
      optional('district', 'part of town'),
      needed('declared_bags_per_week', 'bags a week that the donor says it has; 0 if nothing was said'),
      optional('bag_kg', 'mass of one full bag there, kg; empty: the workshop’s figure'),
      optional('service_min', 'minutes at the door; empty: 8'),
      needed('containers', 'kind:count:litres each, such as cage:2:1100;sack:10:100'),
      optional('hours', 'such as mo-fr 08:00-12:00,13:00-18:00; sa 09:00-13:00; empty: always open'),
      optional('closures', 'such as 2026-12-24..2027-01-02 Christmas; 2026-05-01'),
      optional('rule', 'pickup rule, RFC 5545 RRULE such as FREQ=WEEKLY;BYDAY=TU'),
      optional('rule_start', 'first pickup, local, such as 2026-01-06T09:00'),
      optional('rule_window_min', 'minutes from then in which we come, such as 180'),
      optional('rule_commitment', 'must (a promise) or usual (a habit that may move)'),
      optional('rule_except', 'days without pickup, such as 2026-12-25;2026-12-29'),
      optional('rule_extra', 'days with an extra pickup'),
      optional('grades', 'expected shares, such as ldpe-clear:0.7;ldpe-printed:0.3'),
      optional('access_notes', 'how to get in'),
      optional('handling_notes', 'cautions for whoever lifts'),
      optional('contact_name', 'whom to ask there'),
      optional('contact_phone', 'telephone'),
      optional('contact_email', 'e-mail address'),
      optional('active_from', 'first day, such as 2026-03-01'),
      optional('active_until', 'last day'),
    ],
  },
  'weigh-ins': {
    kind: 'weigh-ins',
    about:
      'What was picked up. At least one of net_kg, gross_kg with tare_kg, bags, or found_full = yes is needed.',
    columns: [
      optional('key', 'your own stable key; empty: made from site and time'),
      needed('site', 'key of the site'),
      needed('at', 'when, local such as 2026-05-04T09:30, or with an offset'),
      optional('net_kg', 'net mass, kg, rejected film included'),
      optional('gross_kg', 'gross mass, kg'),
      optional('tare_kg', 'tare, kg; net is gross less tare'),
      optional('bags', 'how many bags'),
      optional('found_full', 'yes if the container was full to the brim'),
      optional('rejected_kg', 'part of the net that was refused or thrown out, kg'),
      optional('reject_reason', 'food, sharps, pvc, wrong-polymer, wet or unknown'),
      optional('left_kg', 'what did not fit in the van and stayed, kg; empty: nobody said'),
      optional('grades', 'sorted mass in kg, such as ldpe-clear:12.5;ldpe-printed:3'),
      optional('note', 'anything else'),
    ],
  },
  surges: {
    kind: 'surges',
    about: 'Events that leave far more film than usual.',
    columns: [
      KEY,
      needed('site', 'key of the site'),
      needed('event_kind', 'festival, market-day, delivery-peak, clearance, clean-up or other'),
      optional('name', 'what people call the event'),
      needed('starts_at', 'start, local such as 2026-08-01T15:00, or with an offset'),
      needed('ends_at', 'end'),
      needed('expected_bags', 'how many bags are expected'),
      optional('announced_at', 'when it was announced; empty: now'),
    ],
  },
  products: {
    kind: 'products',
    about: 'What is pressed, and the film it takes.',
    columns: [
      KEY,
      needed('name', 'what people call it'),
      needed('film_kg_per_unit', 'film that goes into the press for one unit, kg'),
      needed('yield', 'finished mass over film used, above 0 up to 1'),
      needed('off_cut_return', 'part of the off-cuts that comes back as stock, 0 to 1'),
      needed('grades', 'shares of the film, such as ldpe-clear:0.6;ldpe-printed:0.4'),
    ],
  },
  production: {
    kind: 'production',
    about: 'How many units of which product are pressed on which day.',
    columns: [
      needed('product', 'key of the product'),
      needed('day', 'such as 2026-05-04'),
      needed('units', 'whole units; 0 takes the run out'),
    ],
  },
  vans: {
    kind: 'vans',
    about: 'Vans. Payload is the permitted laden mass on the plate less kerb mass, driver and fuel.',
    columns: [
      KEY,
      needed('name', 'what people call it'),
      needed('payload_kg', 'kg it may carry'),
      needed('load_space_l', 'load space, litres'),
      needed('cost_per_km', 'cost of a kilometre, in the workshop’s currency'),
      optional('check_due', 'day of the next safety check, such as 2027-03-31'),
    ],
  },
  drivers: {
    kind: 'drivers',
    about: 'Drivers.',
    columns: [
      KEY,
      needed('name', 'name'),
      needed('cost_per_hour', 'cost of an hour, in the workshop’s currency'),
      optional('email', 'e-mail address, for word of new run sheets'),
    ],
  },
  shifts: {
    kind: 'shifts',
    about: 'Who drives which van on which day, from when to when. Local rules on hours and rest come first.',
    columns: [
      KEY,
      needed('van', 'key of the van'),
      needed('driver', 'key of the driver'),
      needed('day', 'such as 2026-05-04'),
      needed('starts', 'such as 07:30'),
      needed('ends', 'such as 15:30'),
    ],
  },
  stock: {
    kind: 'stock',
    about: 'Stock movements that people keep themselves; what is weighed in comes from the weigh-ins.',
    columns: [
      KEY,
      needed('day', 'such as 2026-05-04'),
      needed('grade', 'such as ldpe-clear'),
      needed(
        'kind',
        'opening, delivery, take-back, off-cut, bought, production, sold, disposed or correction',
      ),
      needed('kg', 'kg; production, sold and disposed are negative, a correction may be either'),
      optional('note', 'anything else'),
    ],
  },
} as const satisfies { readonly [kind: string]: TableSpec };

export type TableKind = keyof typeof TABLES;
export const TABLE_KINDS = Object.keys(TABLES) as TableKind[];
