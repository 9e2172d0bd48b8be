/** From a typed weigh-in form to facts, or to sentences beside the fields. Nothing is asked of anyone here. */
import { z } from 'zod';
import { readInstant } from '../../core/calendar/zone.ts';
import type { Instant, Kg } from '../../core/quantity/units.ts';
import { type Grade, MISSED_REASONS, REJECT_REASONS } from '../../core/vocabulary.ts';
import type { FieldErrors, FormRead, Typed } from '../shared/form.ts';
import { Id } from '../shared/ids.ts';
import type { StopWeighIn } from './driver-deps.ts';
import type { StopPageView } from './run-view.ts';

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
const Bags = amount('bags', '9');
const Note = z.string().trim().max(1000, 'Keep the note under 1,000 letters');

const WeighInForm = z.object({
  factId: Id,
  replacesId: Id.optional(),
  grossKg: Kilograms.optional(),
  tareKg: Kilograms.optional(),
  netKg: Kilograms.optional(),
  bags: Bags.optional(),
  foundFull: z.literal('yes').optional(),
  rejectedKg: Kilograms.optional(),
  rejectReason: z.enum(REJECT_REASONS, 'Choose a reason from the list').optional(),
  /** Only for what was written on paper first. */
  collectedLocal: z.string().optional(),
  note: Note.optional(),
});

/** Its note has a name of its own, because both forms stand on one page. */
export const MissedForm = z.object({
  factId: Id,
  reason: z.enum(MISSED_REASONS, 'Choose why it was not collected'),
  missedNote: Note.optional(),
});

export const gradeField = (grade: Grade): string => `grade_${grade}`;

export type WeighInFacts = Omit<StopWeighIn, 'stopId' | 'driverId'>;

/** `typed` is the form as sent; all wrong fields are named at once. */
export function weighInFacts(typed: Typed, view: StopPageView): FormRead<WeighInFacts> {
  const { stop, grades: kept } = view;
  const filled = Object.fromEntries(Object.entries(typed).filter(([, text]) => text.trim() !== ''));
  const parsed = WeighInForm.safeParse(filled);
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
  if (!parsed.success || Object.keys(errors).length > 0) return { ok: false, typed, errors };

  const { foundFull, note, rejectedKg, collectedLocal, ...rest } = parsed.data;
  const when = collectedAt(collectedLocal, view);
  const mass = netOf(rest);
  const facts: WeighInFacts = {
    ...pruned(rest),
    at: when.at,
    ...(mass.netKg !== undefined && { netKg: mass.netKg }),
    foundFull: foundFull !== undefined,
    rejectedKg: rejectedKg ?? 0,
    grades,
    note: note ?? '',
  };
  const wrong = {
    ...when.errors,
    ...mass.errors,
    // A net that could not be worked out is not a missing one.
    ...(Object.keys(mass.errors).length === 0 && amountErrors(facts, stop.bagKg, kept)),
  };
  return Object.keys(wrong).length > 0
    ? { ok: false, typed, errors: wrong }
    : { ok: true, typed, value: facts };
}

/** A month: what is older belongs to the coordinator's files. */
const OLDEST_S = 31 * 86_400;

/** The typed time, else the time that stands (for a correction), else now. */
function collectedAt(
  text: string | undefined,
  { workshop, nowAt, stop: { outcome } }: StopPageView,
): { readonly at: Instant; readonly errors: FieldErrors } {
  if (text === undefined) return { at: outcome?.kind === 'weighed' ? outcome.at : nowAt, errors: {} };
  const at = readInstant(workshop.zone, text.trim());
  const wrong = (sentence: string) => ({ at: nowAt, errors: { collectedLocal: sentence } });
  if (at === undefined) return wrong('Type the day and the time, such as 2026-03-12T10:40');
  // The form's minute may lie just ahead of the clock's second.
  if (at > nowAt + 60) return wrong('This time is still to come');
  if (at < nowAt - OLDEST_S) return wrong('This is more than a month ago; give it to the coordinator');
  return { at, errors: {} };
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

function amountErrors(facts: WeighInFacts, bagKg: Kg, order: StopPageView['grades']): FieldErrors {
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
function pruned<T extends object>(facts: T): { [K in keyof T]: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(facts).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]: Exclude<T[K], undefined>;
  };
}
