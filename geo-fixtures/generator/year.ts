/**
 * A year of weigh-ins and stock from the hidden model: bags arrive by chance day by day, visits follow each
 * donor's habit, drivers record as drivers do, and the press takes what production needs.
 */
import { openWindows, parseClosures, parseHours } from '../../src/core/calendar/opening.ts';
import { addDays, dayStart, isoWeekday, localText } from '../../src/core/calendar/zone.ts';
import { type Random, seededRandom } from '../../src/core/quantity/random.ts';
import { DONORS, type Donor, MIXES } from './donors.ts';

export const ZONE = 'Europe/Vienna';
export const SEED = 20260615;
export const FIRST_DAY = '2025-06-16';
export const TODAY = '2026-06-15';
export const LAST_DAY = '2026-06-14';
export const BAG_KG = 1.8;
export const FILM_KG_PER_M3 = 20;
export const GRADES = ['ldpe-clear', 'ldpe-printed', 'hdpe-white', 'ldpe-black', 'mixed-film-printed'] as const;
type ByGrade = { [grade: string]: number };

export const PRODUCTS = [
  // About a hundred light carrier bags of 8.12 g make 0.8 kg (facts.md A1).
  { key: 'kneeler', name: 'Garden kneeler', filmKg: 0.9, yield: 0.93, back: 0.7, unitsADay: 70,
    mix: { 'ldpe-clear': 0.615, 'ldpe-printed': 0.385 } as ByGrade },
  { key: 'tray', name: 'Planter tray', filmKg: 1.6, yield: 0.9, back: 0.6, unitsADay: 42,
    mix: { 'ldpe-clear': 0.4, 'ldpe-printed': 0.12, 'hdpe-white': 0.23, 'ldpe-black': 0.07, 'mixed-film-printed': 0.18 } as ByGrade },
] as const;

const PRESS_REST: readonly (readonly [string, string])[] = [['2025-08-11', '2025-08-15'], ['2025-12-24', '2026-01-06'], ['2026-05-01', '2026-05-01']];
export const isPressDay = (day: string): boolean =>
  isoWeekday(day) <= 5 && !PRESS_REST.some(([from, until]) => from <= day && day <= until);

export type Surge = {
  readonly key: string; readonly site: string; readonly kind: string; readonly name: string; readonly starts: string;
  readonly ends: string; readonly bags: number; readonly announced: string;
  /** What really came, and when it was fetched; absent for what is still to come. */
  readonly truth?: { readonly kg: number; readonly fetched: readonly string[] };
};
export const SURGES: readonly Surge[] = [
  { key: 'lights-2025', site: 'meadow', kind: 'festival', name: 'Lantern Nights', starts: '2025-08-16T15:00', ends: '2025-08-17T23:00', bags: 75, announced: '2025-07-21T10:00', truth: { kg: 118, fetched: ['2025-08-18', '2025-08-19'] } },
  { key: 'sale-2025', site: 'harrow-cash', kind: 'delivery-peak', name: 'Winter stock arrives', starts: '2025-11-24T06:00', ends: '2025-11-27T18:00', bags: 30, announced: '2025-11-12T09:30', truth: { kg: 47, fetched: [] } },
  { key: 'shore-2026', site: 'shore-clean', kind: 'clean-up', name: 'Spring shore clean-up', starts: '2026-04-18T09:00', ends: '2026-04-18T13:00', bags: 15, announced: '2026-04-02T19:15', truth: { kg: 33, fetched: ['2026-04-20'] } },
  { key: 'quay-2026', site: 'quay-events', kind: 'festival', name: 'Boat Days', starts: '2026-05-09T10:00', ends: '2026-05-10T20:00', bags: 50, announced: '2026-04-20T11:00', truth: { kg: 71, fetched: ['2026-05-11'] } },
  { key: 'school-2026', site: 'kilnhill-school', kind: 'clearance', name: 'Clearing the craft room', starts: '2026-06-17T09:00', ends: '2026-06-18T14:00', bags: 14, announced: '2026-06-08T12:20' },
  { key: 'lights-2026', site: 'meadow', kind: 'festival', name: 'Midsummer Lantern Nights', starts: '2026-06-19T16:00', ends: '2026-06-20T23:00', bags: 60, announced: '2026-05-28T16:40' },
];

export type WeighIn = {
  readonly key: string; readonly site: string; readonly at: string; readonly day: string;
  readonly netKg?: number; readonly grossKg?: number; readonly tareKg?: number; readonly bags?: number;
  readonly foundFull: boolean; readonly rejectedKg: number; readonly rejectReason: string;
  readonly grades: ByGrade; readonly note: string;
  /** What was really in the sacks: differs from the record where the scale was read wrongly. */
  readonly trueKg: number;
};
export type Movement = { readonly key: string; readonly day: string; readonly grade: string; readonly kind: string; readonly kg: number; readonly note: string };

/** Monday first: when film accrues in a week. Sums to 1. */
const WEEK: { readonly [kind: string]: readonly number[] } = {
  shop: [0.15, 0.14, 0.15, 0.16, 0.19, 0.19, 0.02],
  wholesaler: [0.26, 0.19, 0.18, 0.19, 0.16, 0.02, 0],
  market: [0.02, 0.03, 0.42, 0.03, 0.05, 0.43, 0.02],
  school: [0.2, 0.2, 0.2, 0.2, 0.2, 0, 0],
  office: [0.22, 0.2, 0.2, 0.2, 0.18, 0, 0],
  'drop-off': [0.14, 0.11, 0.11, 0.11, 0.13, 0.22, 0.18],
  'one-off': [0, 0, 0, 0, 0, 0, 0],
};
/** January first. */
const SEASON: { readonly [kind: string]: readonly number[] } = {
  shop: [0.9, 0.9, 0.97, 1, 1, 1, 0.97, 0.93, 1, 1.02, 1.12, 1.22],
  'drop-off': [1.1, 0.95, 1, 1, 1, 0.98, 0.92, 0.9, 1, 1, 1.03, 1.15],
  garden: [0.4, 0.6, 1.3, 1.7, 1.7, 1.3, 0.9, 0.8, 0.9, 0.9, 0.6, 0.4],
};

const round1 = (kg: number): number => Math.round(kg * 10) / 10;

function poisson(random: Random, mean: number): number {
  if (mean <= 0) return 0;
  if (mean > 30) return Math.max(0, Math.round(mean + Math.sqrt(mean) * random.normal()));
  const stop = Math.exp(-mean);
  let n = -1;
  for (let p = 1; p > stop; n++) p *= random.next();
  return n;
}

export function simulateWeighIns(): WeighIn[] {
  const random = seededRandom(SEED);
  const all: WeighIn[] = DONORS.flatMap((donor) => siteYear(donor, random));
  const inTime = all.sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : a.site < b.site ? -1 : 1));
  return inTime.map((w, i) => ({ ...w, key: `w${String(i + 1).padStart(4, '0')}` }));
}

function siteYear(donor: Donor, random: Random): WeighIn[] {
  const hours = parseHours(donor.hours);
  const closures = parseClosures(donor.closures ?? '');
  if (!hours.ok || !closures.ok) throw new Error(`hours or closures of ${donor.key}`);
  const opening = { hours: hours.value, closures: closures.value };
  const capacityKg = donor.containers.reduce((sum, [, n, litres]) => sum + (n * litres * FILM_KG_PER_M3) / 1000, 0);
  const bagKg = donor.bagKg ?? BAG_KG;
  const out: WeighIn[] = [];
  let waiting = random.next() * donor.kgPerWeek * 0.6;
  let waitingBags = Math.round(waiting / bagKg);
  let drift = 0; // a slow wave of good and bad weeks
  for (let day = FIRST_DAY, n = 0; day <= LAST_DAY; day = addDays(day, 1), n++) {
    if ((donor.from && day < donor.from) || (donor.until && day > donor.until)) continue;
    if (n % 7 === 0) drift = 0.7 * drift + 0.11 * random.normal();
    const weekday = isoWeekday(day);
    const closedToday = opening.closures.some((c) => c.fromDay <= day && day <= c.untilDay);
    const season = SEASON[donor.mix === 'garden' ? 'garden' : donor.kind]?.[Number(day.slice(5, 7)) - 1] ?? 1;
    const doubled = donor.key === 'bex-home' && day >= '2026-03-16' ? 2.1 : 1;
    const mean = closedToday ? 0 : donor.kgPerWeek * WEEK[donor.kind]![weekday - 1]! * season * doubled * Math.exp(drift);
    const bags = poisson(random, mean / bagKg);
    for (let b = 0; b < bags; b++) waiting += Math.max(0.3, bagKg * (1 + 0.33 * random.normal()));
    waitingBags += bags;
    for (const surge of SURGES)
      if (surge.site === donor.key && surge.truth && surge.ends.slice(0, 10) === day) {
        waiting += surge.truth.kg;
        waitingBags += Math.round(surge.truth.kg / bagKg);
      }
    const fetchedNow = SURGES.some((s) => s.site === donor.key && s.truth?.fetched.includes(day));
    const week = Math.floor(n / 7);
    const isDue = fetchedNow || (donor.habit.on.includes(weekday) && week % donor.habit.every === 0);
    // One visit in twenty falls through: nobody there, van away, ice.
    if (!isDue || (!fetchedNow && random.next() < 0.05)) continue;
    const windows = openWindows(opening, ZONE, day);
    const window = windows[random.below(Math.max(1, windows.length))];
    if (!window || waiting < 0.4) continue;
    const earliest = Math.max(window.fromAt, dayStart(ZONE, day) + 7.25 * 3600);
    const latest = Math.min(window.untilAt, dayStart(ZONE, day) + 15 * 3600);
    if (latest <= earliest) continue;
    const at = localText(ZONE, earliest + Math.floor((random.next() * (latest - earliest)) / 60) * 60);
    const full = waiting >= 0.97 * capacityKg;
    // What does not fit goes to the rubbish collector; two evenings of a festival are fetched in two loads.
    const most = fetchedNow ? 80 : capacityKg * 1.08;
    const taken = Math.min(waiting, most);
    const takenBags = Math.max(1, Math.round((waitingBags * taken) / waiting));
    waiting = fetchedNow ? waiting - taken : 0;
    waitingBags = fetchedNow ? waitingBags - takenBags : 0;
    out.push(record(donor, day, at, round1(taken), takenBags, full, random));
  }
  return out;
}

/** Readings that went wrong once, by site and the n-th visit. */
const SLIPS: { readonly [site: string]: { readonly visit: number; readonly times: number } } = {
  'drop-west': { visit: 31, times: 10 },
  'penny-south': { visit: 52, times: 0.1 },
};
const visits = new Map<string, number>();

function record(donor: Donor, day: string, at: string, trueKg: number, bags: number, full: boolean, random: Random): WeighIn {
  if (day === FIRST_DAY) visits.delete(donor.key);
  const visit = (visits.get(donor.key) ?? 0) + 1;
  visits.set(donor.key, visit);
  const lot = random.next();
  const common = { key: '', site: donor.key, at, day, trueKg, rejectedKg: 0, rejectReason: '', grades: {}, note: '' };
  if (donor.habit.records === 'bags') return { ...common, bags, foundFull: full && lot < 0.8 };
  if (full && lot < 0.04) return { ...common, foundFull: true, note: 'scale left at the workshop' };
  const slip = SLIPS[donor.key];
  const netKg = slip?.visit === visit ? round1(trueKg * slip.times) : trueKg;
  const caged = donor.containers[0]![0] === 'cage' || donor.containers[0]![0] === 'wheeled-bin';
  const tareKg = caged ? (donor.containers[0]![0] === 'cage' ? 38 : 14.5) : undefined;
  const scaled = tareKg !== undefined && lot > 0.55 ? { grossKg: round1(netKg + tareKg), tareKg } : {};
  const counted = donor.habit.records === 'both' || lot > 0.93 ? { bags } : {};
  const spoilt = random.next() < (donor.kind === 'drop-off' || donor.kind === 'market' || donor.kind === 'one-off' ? 0.07 : 0.02);
  const rejectedKg = spoilt ? round1(Math.min(netKg, Math.max(0.2, netKg * (0.05 + 0.25 * random.next())))) : 0;
  const reasons = donor.kind === 'market' ? ['food', 'wet'] : donor.kind === 'wholesaler' ? ['wrong-polymer', 'pvc'] : ['food', 'wet', 'pvc', 'wrong-polymer', 'unknown'];
  const rejectReason = spoilt ? reasons[random.below(reasons.length)]! : '';
  const grades = slip?.visit !== visit && random.next() < 0.17 ? sorted(netKg, MIXES[donor.mix]!, random) : {};
  return { ...common, netKg, ...scaled, ...counted, foundFull: full && lot < 0.9, rejectedKg, rejectReason, grades };
}

/** By eye, near the usual split, to the tenth of a kilogram and summing to the net. */
function sorted(netKg: number, mix: ByGrade, random: Random): ByGrade {
  const weights = Object.entries(mix).map(([grade, share]) => [grade, share * Math.max(0.2, 1 + 0.25 * random.normal())] as const);
  const sum = weights.reduce((s, [, w]) => s + w, 0);
  const out: ByGrade = {};
  let left = Math.round(netKg * 10);
  weights.forEach(([grade, w], i) => {
    const tenths = i === weights.length - 1 ? left : Math.min(left, Math.round((netKg * 10 * w) / sum));
    if (tenths > 0) out[grade] = tenths / 10;
    left -= tenths;
  });
  return out;
}

// ---- the store and the press ---------------------------------------------------------------------------------

const OPENING: ByGrade = { 'ldpe-clear': 330, 'ldpe-printed': 170, 'hdpe-white': 80, 'ldpe-black': 30, 'mixed-film-printed': 50 };
const TARGET_KG = 620;
/** Stocktakes: what the books say is set right by what lies there. */
const STOCKTAKES = ['2025-09-30', '2025-12-23', '2026-03-31', '2026-06-12'];

const split = (kg: number, shares: ByGrade): ByGrade => {
  const sum = Object.values(shares).reduce((s, w) => s + w, 0);
  return Object.fromEntries(Object.entries(shares).map(([grade, w]) => [grade, (kg * w) / sum]));
};
const mixOf = (site: string): ByGrade => MIXES[DONORS.find((d) => d.key === site)!.mix]!;
const round3 = (kg: number): number => Math.round(kg * 1000) / 1000;

export type StockYear = { readonly movements: readonly Movement[]; readonly atEnd: ByGrade; readonly unitsMade: { readonly [product: string]: number } };

export function simulateStock(weighIns: readonly WeighIn[]): StockYear {
  const random = seededRandom(SEED + 1);
  const movements: Movement[] = [];
  const store: ByGrade = {}; // what lies there
  const books: ByGrade = {}; // what the rows say, weigh-ins included
  const unitsMade: { [product: string]: number } = {};
  const move = (day: string, grade: string, kind: string, kg: number, note = '') => {
    const exact = round3(kg);
    if (exact === 0) return;
    movements.push({ key: `s${String(movements.length + 1).padStart(5, '0')}`, day, grade, kind, kg: exact, note });
    books[grade] = (books[grade] ?? 0) + exact;
    if (kind !== 'correction') store[grade] = (store[grade] ?? 0) + exact;
  };
  for (const grade of GRADES) move(FIRST_DAY, grade, 'opening', OPENING[grade]!, 'stock when the books began');
  let pace = 1;
  for (let day = FIRST_DAY; day <= LAST_DAY; day = addDays(day, 1)) {
    for (const w of weighIns.filter((x) => x.day === day)) {
      const shares = Object.keys(w.grades).length > 0 ? w.grades : mixOf(w.site);
      const donor = DONORS.find((d) => d.key === w.site)!;
      const full = donor.containers.reduce((s, [, n, l]) => s + (n * l * FILM_KG_PER_M3) / 1000, 0);
      const bookedKg = (w.netKg ?? (w.bags !== undefined ? w.bags * (donor.bagKg ?? BAG_KG) : full)) - w.rejectedKg;
      for (const [grade, kg] of Object.entries(split(bookedKg, shares))) books[grade] = (books[grade] ?? 0) + kg;
      for (const [grade, kg] of Object.entries(split(w.trueKg - w.rejectedKg, shares))) store[grade] = (store[grade] ?? 0) + kg;
    }
    const total = Object.values(store).reduce((s, kg) => s + kg, 0);
    if (isoWeekday(day) === 1) pace = Math.max(0.75, Math.min(1.25, 1 + 0.5 * (total / TARGET_KG - 1)));
    if (day.slice(8) === '10' || day.slice(8) === '24') move(day, 'ldpe-printed', 'delivery', round1(2 + 6 * random.next()), 'brought to the door');
    if (day.slice(8) === '17') move(day, 'ldpe-printed', 'take-back', round1(1 + 3 * random.next()), 'worn kneelers that came home');
    if (isPressDay(day)) press(day);
    if (STOCKTAKES.includes(day))
      for (const grade of GRADES) {
        const lies = Math.max(0, store[grade]! * (1 + 0.006 * random.normal()));
        store[grade] = lies;
        move(day, grade, 'correction', lies - books[grade]!, 'stocktake');
      }
  }
  function press(day: string): void {
    for (const product of PRODUCTS) {
      const wanted = Math.round(product.unitsADay * pace * (1 + 0.04 * random.normal()));
      for (const [grade, share] of Object.entries(product.mix)) {
        const short = wanted * product.filmKg * share - store[grade]!;
        if (short > 0) move(day, grade, 'bought', Math.ceil((short + 15) / 10) * 10, 'ran short');
      }
      unitsMade[product.key] = (unitsMade[product.key] ?? 0) + wanted;
      for (const [grade, share] of Object.entries(product.mix)) {
        const usedKg = wanted * product.filmKg * share;
        move(day, grade, 'production', -usedKg, product.name);
        move(day, grade, 'off-cut', usedKg * (1 - product.yield) * product.back, product.name);
      }
    }
    // What piles up is sold on, twice a year at most a grade.
    for (const grade of GRADES)
      if (store[grade]! > 4.2 * OPENING[grade]!) move(day, grade, 'sold', -Math.round(store[grade]! - 1.5 * OPENING[grade]!), 'surplus bale');
  }
  return { movements, atEnd: { ...store }, unitsMade };
}

