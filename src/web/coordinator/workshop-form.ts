/** The workshop's own form: what stands in each field, and the facts that a sent form gives. */
import { isZone } from '../../core/calendar/zone.ts';
import { GRADES, type Grade } from '../../core/vocabulary.ts';
import type { GradePrice, Workshop } from '../../store/workshop.ts';
import type { FieldErrors, Typed } from '../shared/form.ts';

/** Rows of the form for grades that are not kept yet. */
export const NEW_GRADES = 6;

export type WorkshopFacts = Pick<
  Workshop,
  'name' | 'zone' | 'lat' | 'lon' | 'address' | 'currency' | 'storeLimitKg' | 'filmKgPerM3' | 'bagKg'
> & {
  readonly grades: readonly {
    readonly grade: Grade;
    readonly name: string;
    readonly buyPricePerKg: number;
  }[];
};
export type WorkshopNow = { readonly workshop: Workshop; readonly grades: readonly GradePrice[] };

const plain = (value: number): string => String(Math.round(value * 1e6) / 1e6);

/** As it stands; for a new workshop only what most share. */
export function typedWorkshop(now: WorkshopNow | undefined): Typed {
  if (!now) return { bag_kg: '1.8', film_kg_per_m3: '20' };
  const { workshop: w, grades } = now;
  return {
    name: w.name,
    zone: w.zone,
    lat: plain(w.lat),
    lon: plain(w.lon),
    address: w.address,
    currency: w.currency,
    store_limit_kg: plain(w.storeLimitKg),
    film_kg_per_m3: plain(w.filmKgPerM3),
    bag_kg: plain(w.bagKg),
    ...Object.fromEntries(
      grades.flatMap(({ grade, name, buyPriceMicrosPerKg }, i) => [
        [`grade${i}`, grade],
        [`gradeName${i}`, name],
        [`gradePrice${i}`, plain(buyPriceMicrosPerKg / 1e6)],
      ]),
    ),
  };
}

/** Everything that is wrong is named at once. */
export function readWorkshopForm(
  typed: Typed,
  rows: number,
):
  | { readonly ok: true; readonly facts: WorkshopFacts }
  | { readonly ok: false; readonly errors: FieldErrors } {
  const errors: Record<string, string> = {};
  const text = (field: string): string => (typed[field] ?? '').trim();
  const must = (field: string, isRight: boolean, sentence: string): void => {
    if (!isRight) errors[field] ??= sentence;
  };
  const amount = (field: string, min: number, max: number, sentence: string): number => {
    const bare = text(field)
      .replaceAll(/[\s\u00a0\u202f]/g, '')
      .replace(',', '.');
    const value = /^-?\d+(\.\d+)?$/.test(bare) ? Number(bare) : Number.NaN;
    must(field, value >= min && value <= max, sentence);
    return value;
  };
  must('name', text('name') !== '', 'Give the workshop a name.');
  must('zone', isZone(text('zone')), 'Choose the time zone that its clocks show.');
  must('currency', /^[A-Z]{3}$/.test(text('currency')), 'Three capital letters of ISO 4217, such as EUR.');
  const facts = {
    name: text('name'),
    zone: text('zone'),
    lat: amount('lat', -90, 90, 'Degrees from −90 to 90, such as 46.2102.'),
    lon: amount('lon', -180, 180, 'Degrees from −180 to 180, such as −19.3432.'),
    address: text('address'),
    currency: text('currency'),
    storeLimitKg: amount('store_limit_kg', 0.001, 1e6, 'A mass above 0 kg, such as 1600.'),
    filmKgPerM3: amount('film_kg_per_m3', 1, 1000, 'From 1 to 1,000 kg in a cubic metre, such as 20.'),
    bagKg: amount('bag_kg', 0.01, 100, 'From 0.01 to 100 kg, such as 1.8.'),
    grades: [] as { grade: Grade; name: string; buyPricePerKg: number }[],
  };
  for (let i = 0; i < rows; i++) {
    const grade = GRADES.find((one) => one === text(`grade${i}`));
    if (!grade) {
      must(
        `grade${i}`,
        text(`gradeName${i}`) === '' && text(`gradePrice${i}`) === '',
        'Choose which grade it is.',
      );
      continue;
    }
    must(`grade${i}`, !facts.grades.some((one) => one.grade === grade), 'This grade stands above already.');
    must(`gradeName${i}`, text(`gradeName${i}`) !== '', 'What do people in the workshop call it?');
    const buyPricePerKg = amount(`gradePrice${i}`, 0, 1000, 'From 0 to 1,000 a kilogram, such as 0.95.');
    facts.grades.push({ grade, name: text(`gradeName${i}`), buyPricePerKg });
  }
  must('grade0', facts.grades.length > 0, 'At least one grade is needed: what the workshop presses.');
  return Object.keys(errors).length > 0 ? { ok: false, errors } : { ok: true, facts };
}
