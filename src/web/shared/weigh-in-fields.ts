/** The masses and counts of a weigh-in form, typed by a driver or a coordinator: to facts, or to sentences beside the fields. */
import { z } from 'zod';
import type { Kg } from '../../core/quantity/units.ts';
import { type Grade, REJECT_REASONS, type RejectReason } from '../../core/vocabulary.ts';
import type { FieldErrors, Typed } from './form.ts';

/** Scales show at most grams; ten tonnes is beyond any van, so it is a slip of the finger. */
const MOST_KG = 10_000;
const SCALE_KG = 0.001;

const amount = (unit: string, example: string) =>
  z
    .string()
    .trim()
    .transform((text) => text.replace(',', '.').replace(/\s*kg$/i, ''))
    .pipe(z.string().regex(/^\d{1,6}(\.\d{1,3})?$/, `Type ${unit} as a number, such as ${example}`))
    .transform(Number)
    .pipe(z.number().max(MOST_KG, `More than ${MOST_KG} is beyond any van`));
const Kilograms = amount('kilograms', '34 or 34.5');
/** "34,5 kg" → 34.5; nothing where it is no mass. */
export const readKilograms = (text: string): Kg | undefined => Kilograms.safeParse(text).data;
const Bags = amount('bags', '9');
export const Note = z.string().trim().max(1000, 'Keep the note under 1,000 letters');

const AmountFields = z.object({
  grossKg: Kilograms.optional(),
  tareKg: Kilograms.optional(),
  netKg: Kilograms.optional(),
  bags: Bags.optional(),
  foundFull: z.literal('yes').optional(),
  rejectedKg: Kilograms.optional(),
  rejectReason: z.enum(REJECT_REASONS, 'Choose a reason from the list').optional(),
  leftKg: Kilograms.optional(),
  note: Note.optional(),
});

export type Amounts = {
  readonly grossKg?: Kg;
  readonly tareKg?: Kg;
  readonly netKg?: Kg;
  readonly bags?: number;
  readonly foundFull: boolean;
  readonly rejectedKg: Kg;
  readonly rejectReason?: RejectReason;
  readonly leftKg?: Kg;
  readonly grades: readonly { readonly grade: Grade; readonly kg: Kg }[];
  readonly note: string;
};

export const gradeField = (grade: Grade): string => `grade_${grade}`;

/** Empty fields count as not sent. */
export const filledOf = (typed: Typed): Typed =>
  Object.fromEntries(Object.entries(typed).filter(([, text]) => text.trim() !== ''));

/**
 * All wrong fields are named at once. `value` is there when every field could be read, even if they contradict
 * one another.
 *
 * @param kept the grades that are asked for, in the order of the form
 */
export function readAmounts(
  typed: Typed,
  bagKg: Kg,
  kept: readonly { readonly grade: Grade }[],
): { readonly value?: Amounts; readonly errors: FieldErrors } {
  const filled = filledOf(typed);
  const parsed = AmountFields.safeParse(filled);
  const errors: Record<string, string> = {};
  if (!parsed.success)
    for (const { path, message } of parsed.error.issues) errors[path.map(String).join('.')] ??= message;
  const grades: { grade: Grade; kg: Kg }[] = [];
  for (const { grade } of kept) {
    const field = gradeField(grade);
    if (filled[field] === undefined) continue;
    const kg = Kilograms.safeParse(filled[field]);
    if (!kg.success) errors[field] = kg.error.issues[0]?.message ?? 'Type kilograms as a number';
    else if (kg.data > 0) grades.push({ grade, kg: kg.data });
  }
  if (!parsed.success || Object.keys(errors).length > 0) return { errors };

  const { foundFull, note, rejectedKg, ...rest } = parsed.data;
  const mass = netOf(rest);
  const value: Amounts = {
    ...pruned(rest),
    ...(mass.netKg !== undefined && { netKg: mass.netKg }),
    foundFull: foundFull !== undefined,
    rejectedKg: rejectedKg ?? 0,
    grades,
    note: note ?? '',
  };
  // A net that could not be worked out is not a missing one.
  const isMassClear = Object.keys(mass.errors).length === 0;
  return { value, errors: { ...mass.errors, ...(isMassClear && amountErrors(value, bagKg, kept)) } };
}

type Masses = {
  readonly grossKg?: Kg | undefined;
  readonly tareKg?: Kg | undefined;
  readonly netKg?: Kg | undefined;
};

/** Net from gross and tare, in whole grams so that 40.1 − 6.3 is 33.8. */
function netOf({ grossKg, tareKg, netKg }: Masses): { readonly netKg?: Kg; readonly errors: FieldErrors } {
  const errors: Record<string, string> = {};
  if (grossKg === undefined && tareKg === undefined) return { ...(netKg !== undefined && { netKg }), errors };
  if (grossKg === undefined) errors['grossKg'] = 'Type the gross weight as well, or leave the tare empty';
  else if (tareKg === undefined)
    errors['tareKg'] = 'Type the tare as well; 0 if nothing but film was on the scale';
  else if (grossKg < tareKg) errors['grossKg'] = 'The gross weight cannot be less than the tare';
  else {
    const differenceKg = Math.round((grossKg - tareKg) / SCALE_KG) * SCALE_KG;
    const roundedKg = Number(differenceKg.toFixed(3));
    if (netKg !== undefined && Math.abs(netKg - roundedKg) > SCALE_KG / 2)
      errors['netKg'] = `Gross less tare is ${roundedKg} kg; leave the net empty, or mend one of the three`;
    return { netKg: roundedKg, errors };
  }
  return { errors };
}

function amountErrors(facts: Amounts, bagKg: Kg, order: readonly { readonly grade: Grade }[]): FieldErrors {
  const { netKg, bags, foundFull, rejectedKg, rejectReason, grades } = facts;
  const errors: Record<string, string> = {};
  if (netKg === undefined && bags === undefined && !foundFull)
    errors['netKg'] = 'Type kilograms or bags, or tick "found full" if nobody could weigh or count';
  const mostKg = netKg ?? (bags === undefined ? undefined : bags * bagKg);
  if (rejectedKg > 0 && mostKg !== undefined && rejectedKg > mostKg + SCALE_KG)
    errors['rejectedKg'] = 'More was thrown out than was there; check both';
  if (rejectedKg > 0 && rejectReason === undefined)
    errors['rejectReason'] = 'Say why it was thrown out; the donor can then do something about it';
  const sortedKg = grades.reduce((sum, { kg }) => sum + kg, 0);
  const first = order.find(({ grade }) => grades.some((sorted) => sorted.grade === grade))?.grade;
  if (first && mostKg !== undefined && sortedKg > mostKg - rejectedKg + 0.05)
    errors[gradeField(first)] =
      `The grades add up to ${Number(sortedKg.toFixed(3))} kg, more than the ${Number((mostKg - rejectedKg).toFixed(3))} kg that were taken`;
  return errors;
}

/** Without members that are `undefined`: an absent fact is absent. */
export function pruned<T extends object>(facts: T): { [K in keyof T]: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(facts).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]: Exclude<T[K], undefined>;
  };
}
