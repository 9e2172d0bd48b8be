/**
 * The invented donors. `kgPerWeek` and `habit` are the hidden truth that the year of weigh-ins is drawn from;
 * the register only carries what a donor would say: containers, hours, `bags` a week.
 */
import type { ContainerKind, SiteKind } from '../../src/core/vocabulary.ts';
import { add, apart, leftOf, mix, type Point, scale } from './plane.ts';
import { districtAt, type RoadNet } from './town.ts';

export type Mix = 'grocer' | 'wholesale' | 'goods' | 'market' | 'garden' | 'office' | 'homes' | 'school' | 'field';
export type Habit = {
  /** ISO weekdays of the usual visits; every n-th week, counted from the first week of the history. */
  readonly on: readonly number[];
  readonly every: number;
  /** How the driver records: scale, bags counted only, or both. */
  readonly records: 'scale' | 'bags' | 'both';
};
export type Donor = {
  readonly key: string;
  readonly donor: string;
  readonly name: string;
  readonly kind: SiteKind;
  readonly street: string;
  readonly along: number;
  readonly side: 1 | -1;
  readonly bags: number;
  readonly kgPerWeek: number;
  readonly containers: readonly (readonly [ContainerKind, number, number])[];
  readonly mix: Mix;
  readonly habit: Habit;
  readonly hours: string;
  readonly serviceMin: number;
  readonly bagKg?: number;
  readonly closures?: string;
  readonly rule?: { readonly rrule: string; readonly start: string; readonly windowMin: number; readonly must: boolean; readonly except?: string; readonly extra?: string };
  readonly access?: string;
  readonly handling?: string;
  readonly from?: string;
  readonly until?: string;
};

export const MIXES: { readonly [mix in Mix]: { readonly [grade: string]: number } } = {
  grocer: { 'ldpe-clear': 0.5, 'ldpe-printed': 0.25, 'hdpe-white': 0.2, 'mixed-film-printed': 0.05 },
  wholesale: { 'ldpe-clear': 0.8, 'ldpe-printed': 0.2 },
  goods: { 'ldpe-clear': 0.7, 'ldpe-printed': 0.15, 'mixed-film-printed': 0.15 },
  market: { 'hdpe-white': 0.55, 'ldpe-printed': 0.3, 'mixed-film-printed': 0.15 },
  garden: { 'ldpe-black': 0.65, 'ldpe-printed': 0.25, 'ldpe-clear': 0.1 },
  office: { 'ldpe-clear': 0.6, 'ldpe-printed': 0.4 },
  homes: { 'ldpe-printed': 0.4, 'hdpe-white': 0.35, 'mixed-film-printed': 0.25 },
  school: { 'ldpe-printed': 0.4, 'hdpe-white': 0.3, 'ldpe-clear': 0.3 },
  field: { 'ldpe-clear': 0.4, 'ldpe-printed': 0.35, 'mixed-film-printed': 0.25 },
};

const SHOP = 'mo-fr 08:00-12:30,14:00-18:00; sa 08:00-12:00';
const LONG_SHOP = 'mo-fr 07:00-19:00; sa 07:00-17:00';
const TRADE = 'mo-fr 06:30-16:00';
const OFFICE = 'mo-fr 08:00-16:30';
const SCHOOL = 'mo-fr 07:30-15:30';
const GATE = 'mo-sa 07:00-19:00';
const SCHOOL_BREAKS =
  '2025-07-05..2025-09-07 summer break; 2025-10-27..2025-11-02 autumn break; 2025-12-22..2026-01-06 winter break; 2026-02-02..2026-02-08 half-term; 2026-03-30..2026-04-06 spring break; 2026-07-04..2026-09-06 summer break';
const FEAST_DAYS = '2025-12-25..2025-12-26 feast days; 2026-01-01 New Year; 2026-05-01 holiday';

const weekly = (days: string, start: string, windowMin: number, must: boolean, every = 1) => ({
  rrule: `FREQ=WEEKLY${every > 1 ? `;INTERVAL=${every}` : ''};BYDAY=${days}`,
  start,
  windowMin,
  must,
});
const on = (days: readonly number[], every = 1, records: Habit['records'] = 'scale'): Habit => ({ on: days, every, records });

export const DONORS: readonly Donor[] = [
  // Wholesale and trade: bulky and clean.
  { key: 'harrow-cash', donor: 'Harrowmere Cash & Carry', name: 'Harrowmere Cash & Carry', kind: 'wholesaler', street: 'Foundry Way', along: 0.62, side: 1, bags: 38, kgPerWeek: 66, containers: [['cage', 4, 1100]], mix: 'wholesale', habit: on([2, 5]), hours: TRADE, serviceMin: 14, rule: { ...weekly('TU,FR', '2025-06-17T07:00', 180, true), except: '2025-12-26;2026-05-01' }, access: 'Goods yard, ring at the barrier', handling: 'Pallet straps in the film now and then: cut ends spring back' },
  { key: 'mossop-parts', donor: 'Mossop Motor Parts', name: 'Mossop Motor Parts', kind: 'wholesaler', street: 'Press Way', along: 0.35, side: -1, bags: 16, kgPerWeek: 27, containers: [['cage', 2, 1100]], mix: 'goods', habit: on([2]), hours: TRADE, serviceMin: 10, access: 'Bay 3' },
  { key: 'lind-furniture', donor: 'Lindqvist & Oake Furniture', name: 'Furniture warehouse', kind: 'wholesaler', street: 'Lathe Way', along: 0.7, side: 1, bags: 24, kgPerWeek: 41, containers: [['cage', 3, 1100]], mix: 'goods', habit: on([1, 4]), hours: TRADE, serviceMin: 12, rule: weekly('TH', '2025-06-19T08:00', 240, false), access: 'Ask for the key to the cage at the office' },
  { key: 'bram-tiles', donor: 'Bramwick Tiles', name: 'Bramwick Tiles', kind: 'wholesaler', street: 'Boiler Way', along: 0.3, side: 1, bags: 10, kgPerWeek: 14, containers: [['bulk-bag', 2, 1000]], mix: 'wholesale', habit: on([4], 2), hours: TRADE, serviceMin: 8, handling: 'Tile splinters possible: gloves' },
  { key: 'ellow-print', donor: 'Ellow Printworks', name: 'Ellow Printworks', kind: 'wholesaler', street: 'Gauge Way', along: 0.55, side: -1, bags: 12, kgPerWeek: 19, containers: [['cage', 2, 1100]], mix: 'wholesale', habit: on([1], 1), hours: TRADE, serviceMin: 8 },
  { key: 'grand-electric', donor: 'Grandstand Electricals', name: 'Grandstand Electricals', kind: 'shop', street: 'Piston Drive', along: 0.4, side: 1, bags: 45, kgPerWeek: 17, containers: [['cage', 2, 1100]], mix: 'goods', habit: on([2], 1), hours: LONG_SHOP, serviceMin: 8, access: 'Says it fills every week; never yet' },
  { key: 'till-garden', donor: 'Tillerman Garden Centre', name: 'Tillerman Garden Centre', kind: 'wholesaler', street: 'Estate Road', along: 0.86, side: -1, bags: 18, kgPerWeek: 30, containers: [['cage', 3, 1100]], mix: 'garden', habit: on([1, 4]), hours: 'mo-sa 08:00-17:00', serviceMin: 12, handling: 'Compost sacks are often wet: shake out, note wet ones' },
  // Grocers and shops.
  { key: 'penny-square', donor: 'Pennywhistle Grocers', name: 'Pennywhistle, Market Square', kind: 'shop', street: 'Market Square', along: 0.4, side: 1, bags: 14, kgPerWeek: 23, containers: [['wheeled-bin', 2, 1100]], mix: 'grocer', habit: on([1, 4]), hours: 'mo-fr 06:30-09:30,13:00-18:00; sa 06:30-09:00', serviceMin: 8, rule: weekly('MO,TH', '2025-06-16T07:00', 120, true), access: 'No vans on the square from 10 to 13 on market days' },
  { key: 'penny-east', donor: 'Pennywhistle Grocers', name: 'Pennywhistle, Eastmead', kind: 'shop', street: 'Glover Street', along: 0.5, side: -1, bags: 16, kgPerWeek: 26, containers: [['cage', 2, 1100]], mix: 'grocer', habit: on([1, 4]), hours: LONG_SHOP, serviceMin: 9, rule: weekly('MO', '2025-06-16T08:00', 180, true) },
  { key: 'penny-south', donor: 'Pennywhistle Grocers', name: 'Pennywhistle, Overwater', kind: 'shop', street: 'Pulley Street', along: 0.45, side: 1, bags: 12, kgPerWeek: 19, containers: [['cage', 2, 1100]], mix: 'grocer', habit: on([2, 5]), hours: LONG_SHOP, serviceMin: 9 },
  { key: 'fenn-foods', donor: 'Fennimore Foods', name: 'Fennimore Foods', kind: 'shop', street: 'Lovage Street', along: 0.55, side: 1, bags: 15, kgPerWeek: 24, containers: [['cage', 2, 1100]], mix: 'grocer', habit: on([2, 5]), hours: LONG_SHOP, serviceMin: 9, rule: weekly('FR', '2025-06-20T10:00', 240, false) },
  { key: 'bex-home', donor: 'Bexbury Homeware', name: 'Bexbury Homeware', kind: 'shop', street: 'North Road', along: 0.35, side: 1, bags: 8, kgPerWeek: 11.5, containers: [['cage', 1, 1100]], mix: 'goods', habit: on([3]), hours: SHOP, serviceMin: 7 },
  { key: 'oswin-books', donor: 'Oswin Books', name: 'Oswin Books', kind: 'shop', street: 'Candle Lane', along: 0.4, side: -1, bags: 3, kgPerWeek: 4.2, containers: [['sack', 6, 100]], mix: 'office', habit: on([4], 2, 'bags'), hours: SHOP, serviceMin: 4 },
  { key: 'velvet-shoes', donor: 'Velvet Sole Shoes', name: 'Velvet Sole Shoes', kind: 'shop', street: 'Chapel Street', along: 0.45, side: 1, bags: 4, kgPerWeek: 5.1, containers: [['sack', 8, 100]], mix: 'goods', habit: on([1], 1, 'bags'), hours: SHOP, serviceMin: 4 },
  { key: 'cobb-bakery', donor: 'Cobblewick Bakery', name: 'Cobblewick Bakery', kind: 'shop', street: 'Weavers Street', along: 0.5, side: -1, bags: 5, kgPerWeek: 7.5, containers: [['wheeled-bin', 2, 240], ['sack', 4, 100]], mix: 'grocer', habit: on([2, 5]), hours: 'mo-sa 06:30-13:00', serviceMin: 5, handling: 'Flour dust; crumbs: check for food' },
  { key: 'marl-pharmacy', donor: 'Mortar Row Pharmacy', name: 'Mortar Row Pharmacy', kind: 'shop', street: 'Hill Street', along: 0.6, side: 1, bags: 5, kgPerWeek: 6.8, containers: [['wheeled-bin', 2, 240]], mix: 'office', habit: on([3], 1, 'both'), hours: SHOP, serviceMin: 5, handling: 'Refuse anything from the dispensary: needles possible' },
  { key: 'quill-toys', donor: 'Quillfeather Toys', name: 'Quillfeather Toys', kind: 'shop', street: 'Cooper Lane', along: 0.5, side: 1, bags: 4, kgPerWeek: 5.4, containers: [['sack', 8, 100]], mix: 'goods', habit: on([3], 1, 'bags'), hours: SHOP, serviceMin: 4 },
  { key: 'spoke-bikes', donor: 'Spokeshave Cycles', name: 'Spokeshave Cycles', kind: 'shop', street: 'Capstan Street', along: 0.35, side: -1, bags: 6, kgPerWeek: 8.6, containers: [['bulk-bag', 1, 1000]], mix: 'goods', habit: on([5], 1), hours: SHOP, serviceMin: 5 },
  { key: 'hobb-diy', donor: 'Hobbinson Tools', name: 'Hobbinson Tools', kind: 'shop', street: 'Estate Road', along: 0.3, side: 1, bags: 14, kgPerWeek: 21, containers: [['cage', 2, 1100]], mix: 'goods', habit: on([2, 5]), hours: LONG_SHOP, serviceMin: 9, handling: 'Staples in the wrap: gloves' },
  { key: 'wren-bedding', donor: 'Wrenfield Bedding', name: 'Wrenfield Bedding', kind: 'shop', street: 'East Road', along: 0.66, side: -1, bags: 20, kgPerWeek: 29, containers: [['cage', 2, 1100], ['bulk-bag', 1, 1000]], mix: 'goods', habit: on([1, 4]), hours: 'mo-sa 09:00-17:30', serviceMin: 10, access: 'Side gate on the river side' },
  { key: 'tansy-florist', donor: 'Tansy & Thorn Florists', name: 'Tansy & Thorn', kind: 'shop', street: 'Bridge Street', along: 0.35, side: 1, bags: 4, kgPerWeek: 5, containers: [['wheeled-bin', 2, 240]], mix: 'garden', habit: on([1], 1), hours: SHOP, serviceMin: 4, handling: 'Often wet' },
  { key: 'holm-laundry', donor: 'Holmwater Laundry', name: 'Holmwater Laundry', kind: 'shop', street: 'Rudder Street', along: 0.6, side: 1, bags: 9, kgPerWeek: 13, containers: [['bulk-bag', 2, 1000]], mix: 'wholesale', habit: on([5]), hours: TRADE, serviceMin: 7, rule: weekly('FR', '2025-06-20T08:00', 240, false) },
  { key: 'pike-fish', donor: 'Pikestaff Chandlery', name: 'Pikestaff Chandlery', kind: 'shop', street: 'Quay Street', along: 0.62, side: 1, bags: 7, kgPerWeek: 9, containers: [['bulk-bag', 1, 1000]], mix: 'goods', habit: on([3]), hours: SHOP, serviceMin: 5, handling: 'Old fishing line: sharps possible' },
  { key: 'amber-cafe', donor: 'Amberkettle Kitchens', name: 'Amberkettle Kitchens', kind: 'shop', street: 'Fish Lane', along: 0.55, side: -1, bags: 3, kgPerWeek: 4, containers: [['wheeled-bin', 1, 240], ['sack', 3, 100]], mix: 'grocer', habit: on([5], 1, 'both'), hours: 'mo-sa 09:00-15:00', serviceMin: 4, until: '2026-02-28' },
  { key: 'nettle-store', donor: 'Nettlewick Wholefoods', name: 'Nettlewick Wholefoods', kind: 'shop', street: 'Turner Street', along: 0.4, side: 1, bags: 9, kgPerWeek: 13, containers: [['wheeled-bin', 1, 1100]], mix: 'grocer', habit: on([4]), hours: SHOP, serviceMin: 6, from: '2026-05-04' },
  // Market.
  { key: 'market-hall', donor: 'Tarrowmere Market Traders', name: 'Market hall', kind: 'market', street: 'Rope Lane', along: 0.45, side: -1, bags: 18, kgPerWeek: 28, containers: [['wheeled-bin', 2, 1100], ['sack', 10, 100]], mix: 'market', habit: on([3, 6]), hours: 'we 13:00-18:00; sa 10:00-15:00; mo,th 07:00-10:00', serviceMin: 12, rule: weekly('WE', '2025-06-18T13:00', 180, true), handling: 'Food scraps: look before you take' },
  { key: 'quay-market', donor: 'Tarrowmere Market Traders', name: 'Quay market', kind: 'market', street: 'Quay Street', along: 0.38, side: -1, bags: 9, kgPerWeek: 12, containers: [['bulk-bag', 1, 1000]], mix: 'market', habit: on([6]), hours: 'sa 08:00-14:00; mo 07:00-12:00', serviceMin: 8 },
  // Schools.
  { key: 'kilnhill-school', donor: 'Kilnhill School', name: 'Kilnhill School', kind: 'school', street: 'Rowan Street', along: 0.5, side: 1, bags: 8, kgPerWeek: 12, containers: [['wheeled-bin', 2, 1100]], mix: 'school', habit: on([3]), hours: SCHOOL, serviceMin: 7, closures: SCHOOL_BREAKS, rule: weekly('WE', '2025-06-18T09:00', 150, true), access: 'Not between 07:40 and 08:20: children arriving', handling: 'Children about: walk the van in' },
  { key: 'ferry-school', donor: 'Ferry Lane School', name: 'Ferry Lane School', kind: 'school', street: 'Ferry Lane', along: 0.5, side: 1, bags: 6, kgPerWeek: 7.5, containers: [['wheeled-bin', 1, 1100]], mix: 'school', habit: on([5], 2), hours: SCHOOL, serviceMin: 6, closures: SCHOOL_BREAKS, handling: 'Children about: walk the van in' },
  // Offices.
  { key: 'town-hall', donor: 'Tarrowmere Town Hall', name: 'Town hall', kind: 'office', street: 'Inner Row', along: 0.15, side: 1, bags: 4, kgPerWeek: 5.5, containers: [['wheeled-bin', 2, 240], ['sack', 3, 100]], mix: 'office', habit: on([1], 2, 'both'), hours: OFFICE, serviceMin: 5, closures: FEAST_DAYS },
  { key: 'sable-insure', donor: 'Sable & Finch Offices', name: 'Sable & Finch Offices', kind: 'office', street: 'Ring Street', along: 0.68, side: 1, bags: 4, kgPerWeek: 4.4, containers: [['sack', 8, 100]], mix: 'office', habit: on([4], 2, 'bags'), hours: OFFICE, serviceMin: 4, closures: '2025-12-24..2026-01-02 office closed' },
  { key: 'lark-studio', donor: 'Skylarking Studios', name: 'Skylarking Studios', kind: 'office', street: 'Alder Street', along: 0.45, side: -1, bags: 3, kgPerWeek: 3.5, containers: [['sack', 6, 100]], mix: 'office', habit: on([3], 2, 'bags'), hours: OFFICE, serviceMin: 4 },
  { key: 'ellow-clinic', donor: 'Ellow Valley Clinic', name: 'Clinic stores', kind: 'office', street: 'Tanner Street', along: 0.6, side: 1, bags: 10, kgPerWeek: 15, containers: [['cage', 1, 1100], ['wheeled-bin', 1, 240]], mix: 'office', habit: on([1, 4]), hours: 'mo-fr 07:00-15:00', serviceMin: 7, rule: weekly('MO', '2025-06-16T09:00', 180, true), access: 'Stores entrance, not the wards', handling: 'Outer wrap only; refuse red or yellow bags' },
  // Drop-off points for residents.
  { key: 'drop-kiln', donor: 'Tarrowmere Town Hall', name: 'Drop-off, Hawthorn Rise', kind: 'drop-off', street: 'Hawthorn Rise', along: 0.4, side: 1, bags: 7, kgPerWeek: 11, containers: [['wheeled-bin', 2, 1100]], mix: 'homes', habit: on([3]), hours: GATE, serviceMin: 7 },
  { key: 'drop-west', donor: 'Tarrowmere Town Hall', name: 'Drop-off, Heron Street', kind: 'drop-off', street: 'Heron Street', along: 0.5, side: -1, bags: 9, kgPerWeek: 14, containers: [['wheeled-bin', 2, 1100]], mix: 'homes', habit: on([3]), hours: GATE, serviceMin: 7, rule: { rrule: 'FREQ=WEEKLY;BYDAY=WE', start: '2025-06-18T10:00', windowMin: 300, must: false } },
  { key: 'drop-walk', donor: 'Tarrowmere Town Hall', name: 'Drop-off, Swift Walk', kind: 'drop-off', street: 'Swift Walk', along: 0.6, side: 1, bags: 5, kgPerWeek: 8, containers: [['wheeled-bin', 1, 1100]], mix: 'homes', habit: on([3]), hours: GATE, serviceMin: 6 },
  { key: 'drop-full', donor: 'Tarrowmere Town Hall', name: 'Drop-off, Sage Lane', kind: 'drop-off', street: 'Sage Lane', along: 0.5, side: 1, bags: 8, kgPerWeek: 13, containers: [['wheeled-bin', 2, 1100]], mix: 'homes', habit: on([5]), hours: GATE, serviceMin: 7 },
  { key: 'drop-south', donor: 'Tarrowmere Town Hall', name: 'Drop-off, Anchor Street', kind: 'drop-off', street: 'Anchor Street', along: 0.7, side: -1, bags: 6, kgPerWeek: 10, containers: [['wheeled-bin', 2, 1100]], mix: 'homes', habit: on([5]), hours: GATE, serviceMin: 6 },
  { key: 'drop-east', donor: 'Tarrowmere Town Hall', name: 'Drop-off, Sawyer Street', kind: 'drop-off', street: 'Sawyer Street', along: 0.75, side: 1, bags: 7, kgPerWeek: 12, containers: [['wheeled-bin', 2, 1100]], mix: 'homes', habit: on([1]), hours: GATE, serviceMin: 6 },
  { key: 'hill-hostel', donor: 'Westgardens Tenants', name: 'Tenants’ yard, Plover Street', kind: 'drop-off', street: 'Plover Street', along: 0.35, side: 1, bags: 4, kgPerWeek: 6, containers: [['bulk-bag', 1, 1000]], mix: 'homes', habit: on([3], 2, 'both'), hours: GATE, serviceMin: 6, rule: { rrule: 'FREQ=MONTHLY;BYDAY=1WE,3WE', start: '2025-06-18T11:00', windowMin: 240, must: false, except: '2025-12-24', extra: '2025-12-29' }, access: 'Four steps down to the yard', handling: 'Stairs: carry one sack at a time' },
  // Places without a steady flow.
  { key: 'meadow', donor: 'Osier Meadow Events', name: 'Osier Meadow', kind: 'one-off', street: 'Osier Road', along: 0.3, side: 1, bags: 0, kgPerWeek: 0, containers: [['bulk-bag', 8, 1000]], mix: 'field', habit: on([]), hours: 'mo-su 07:00-20:00', serviceMin: 20, access: 'Field gate; soft after rain', handling: 'Sorted by hand before? Sharps possible: ask first' },
  { key: 'quay-events', donor: 'Tarrowmere Quay Events', name: 'Quay events store', kind: 'one-off', street: 'Quay Street', along: 0.5, side: 1, bags: 0, kgPerWeek: 0, containers: [['bulk-bag', 5, 1000]], mix: 'field', habit: on([]), hours: 'mo-sa 07:00-18:00', serviceMin: 15, handling: 'Sharps possible: ask first' },
  { key: 'shore-clean', donor: 'Friends of the Ellow', name: 'Shore clean-up, Osier Road', kind: 'one-off', street: 'Osier Road', along: 0.55, side: -1, bags: 0, kgPerWeek: 0, containers: [['sack', 30, 100]], mix: 'field', habit: on([], 1, 'bags'), hours: '', serviceMin: 15, handling: 'Unknown contents: gloves, refuse needles and liquids' },
];

export const WORKSHOP = { street: 'Anvil Drive', along: 0.5 } as const;

export type Place = { readonly at: Point; readonly address: string; readonly district: string };

/** A point beside a street: `along` from 0 to 1 of its length, set back from the kerb. */
export function placeOn(roads: RoadNet, street: string, along: number, side: 1 | -1): Place {
  const way = roads.ways.find((w) => w.name === street);
  if (!way) throw new Error(`no street ${street}`);
  const line = way.nodes.map((id) => roads.nodes[id - 1]!.at);
  const total = line.slice(1).reduce((sum, p, i) => sum + apart(line[i]!, p), 0);
  let left = total * along;
  for (let i = 1; i < line.length; i++) {
    const piece = apart(line[i - 1]!, line[i]!);
    if (left <= piece || i === line.length - 1) {
      const at = add(mix(line[i - 1]!, line[i]!, left / piece), scale(leftOf(line[i - 1]!, line[i]!), 18 * side));
      const number = 2 * Math.max(1, Math.round((total * along) / 22)) - (side === 1 ? 1 : 0);
      return { at, address: `${number} ${street}, Tarrowmere`, district: districtAt(at) };
    }
    left -= piece;
  }
  throw new Error(`street ${street} has no length`);
}

export const placedSites = (roads: RoadNet) =>
  DONORS.map((d) => ({ name: d.key, ...placeOn(roads, d.street, d.along, d.side) }));
