/** From the form for an extra collection to facts, or to sentences beside the fields. */
import { z } from 'zod';
import { addDays, dayStart, localOf, localText, readInstant } from '../../core/calendar/zone.ts';
import type { Instant } from '../../core/quantity/units.ts';
import { EVENT_KINDS } from '../../core/vocabulary.ts';
import type { CollectionFacts } from '../../store/quotes.ts';
import type { FieldErrors, FormRead, Typed } from '../shared/form.ts';

/** How far ahead an event can be announced, and how late it can be told: common practice, no source. */
const AHEAD_S = 366 * 86_400;
const LATE_S = 60 * 86_400;

const Day = z.iso.date('Choose a day');
const Amount = z
  .string()
  .trim()
  .transform((text) => text.replace(',', '.'))
  .pipe(z.string().regex(/^\d{1,5}(\.\d{1,2})?$/, 'Type a number, such as 40'))
  .transform(Number)
  .pipe(z.number().gt(0, 'Type how much there is; a guess is good enough'));

/** One question with four boxes: what a driver must hear before touching it. */
export const HAZARDS = {
  hazardSharp: 'sharp things possible',
  hazardWet: 'wet',
  hazardUnknown: 'not sorted by hand, contents unknown',
} as const;
export type HazardField = keyof typeof HAZARDS;
const HAZARD_FIELDS = Object.keys(HAZARDS) as HazardField[];

const ExtraForm = z.object({
  eventKind: z.enum(EVENT_KINDS, 'Choose what it was'),
  eventEndsLocal: z.string('Say when it ends or ended'),
  amount: Amount,
  unit: z.enum(['sacks', 'kg']).default('sacks'),
  fromDay: Day,
  untilDay: Day,
  remarks: z.string().trim().max(1000, 'Keep it under 1,000 letters').optional(),
  hazardNone: z.literal('yes').optional(),
  hazardSharp: z.literal('yes').optional(),
  hazardWet: z.literal('yes').optional(),
  hazardUnknown: z.literal('yes').optional(),
});

export type ExtraFacts = Omit<CollectionFacts, 'siteId'>;

export function extraFacts(typed: Typed, zone: string, nowAt: Instant): FormRead<ExtraFacts> {
  const filled = Object.fromEntries(Object.entries(typed).filter(([, text]) => text.trim() !== ''));
  const parsed = ExtraForm.safeParse(filled);
  const errors: Record<string, string> = { ...hazardErrors(filled) };
  if (!parsed.success) {
    for (const { path, message, code } of parsed.error.issues) {
      const field = path.map(String).join('.');
      errors[field] ??= code === 'invalid_type' ? (MISSING[field] ?? message) : message;
    }
    return { ok: false, typed, errors };
  }
  const { eventKind, eventEndsLocal, amount, unit, fromDay, untilDay, remarks = '' } = parsed.data;
  const eventEndsAt = readInstant(zone, eventEndsLocal.trim());
  const untilAt = dayStart(zone, addDays(untilDay, 1));
  // From the day's start even if that is past: the form sent twice must be the same request both times.
  const fromAt = dayStart(zone, fromDay);
  if (eventEndsAt === undefined) errors['eventEndsLocal'] = 'Choose a day and a time';
  else if (eventEndsAt > nowAt + AHEAD_S) errors['eventEndsLocal'] = 'That is more than a year ahead';
  else if (eventEndsAt < nowAt - LATE_S) errors['eventEndsLocal'] = 'That is more than two months ago';
  if (untilDay < fromDay) errors['untilDay'] = 'The last day comes before the first';
  else if (untilAt <= nowAt) errors['untilDay'] = 'This day is over. Choose one that is still to come.';
  else if (!errors['eventEndsLocal'] && eventEndsAt !== undefined && untilAt <= eventEndsAt)
    errors['untilDay'] = 'The event is not over by then. Choose a later day.';
  if (eventEndsAt === undefined || Object.keys(errors).length > 0) return { ok: false, typed, errors };
  return {
    ok: true,
    typed,
    value: {
      eventKind,
      eventEndsAt,
      ...(unit === 'kg' ? { expectedKg: amount } : { expectedBags: amount }),
      fromAt: Math.max(fromAt, eventEndsAt),
      untilAt,
      remarks,
      hazards: HAZARD_FIELDS.filter((field) => parsed.data[field] !== undefined)
        .map((field) => HAZARDS[field])
        .join('; '),
    },
  };
}

const MISSING: { readonly [field: string]: string } = {
  amount: 'Type how much there is; a guess is good enough',
  fromDay: 'Choose the first day on which we can fetch it',
  untilDay: 'Choose the last day on which we can fetch it',
  eventEndsLocal: 'Say when it ends or ended',
};

/** Asked, not assumed: one of the boxes has to be ticked. */
function hazardErrors(filled: Typed): FieldErrors {
  const named = HAZARD_FIELDS.some((field) => filled[field] !== undefined);
  const none = filled['hazardNone'] !== undefined;
  if (named && none) return { hazards: 'You ticked “none of these” and one of them. Which is it?' };
  if (!named && !none) return { hazards: 'Tick what fits, or “none of these”. Our driver lifts it by hand.' };
  return {};
}

/** The form filled with what was said before. */
export function typedExtra(
  facts: Pick<CollectionFacts, 'fromAt' | 'untilAt' | 'remarks' | 'hazards' | 'eventEndsAt'> &
    Partial<Pick<CollectionFacts, 'eventKind' | 'expectedBags' | 'expectedKg'>>,
  zone: string,
): Typed {
  const said = facts.hazards.split('; ');
  const named = HAZARD_FIELDS.filter((field) => said.includes(HAZARDS[field]));
  const amount = facts.expectedBags ?? facts.expectedKg;
  return {
    ...(facts.eventKind === undefined ? {} : { eventKind: facts.eventKind }),
    eventEndsLocal: localText(zone, facts.eventEndsAt),
    ...(amount === undefined ? {} : { amount: String(Math.round(amount * 100) / 100) }),
    unit: facts.expectedBags === undefined && facts.expectedKg !== undefined ? 'kg' : 'sacks',
    fromDay: localOf(zone, facts.fromAt).day,
    untilDay: localOf(zone, facts.untilAt - 1).day,
    remarks: facts.remarks,
    ...Object.fromEntries((named.length > 0 ? named : ['hazardNone']).map((field) => [field, 'yes'])),
  };
}
