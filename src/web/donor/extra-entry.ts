/** From the form for an extra collection to facts, or to sentences beside the fields. */
import { z } from 'zod';
import { addDays, dayStart, localOf, localText, readInstant } from '../../core/calendar/zone.ts';
import type { Instant } from '../../core/quantity/units.ts';
import { EVENT_KINDS } from '../../core/vocabulary.ts';
import type { CollectionFacts } from '../../store/quotes.ts';
import type { Say } from '../messages/say.ts';
import type { FieldErrors, FormRead, Typed } from '../shared/form.ts';
import { HAZARD_FIELDS, joinHazards, splitHazards } from '../shared/hazards.ts';
import type { DonorFill } from './donor-view.ts';
import { sacksIn, UNITS } from './measures.ts';

/** How far ahead an event can be announced, and how late it can be told: common practice, no source. */
const AHEAD_S = 366 * 86_400;
const LATE_S = 60 * 86_400;

/** Which sentence stands beside a field. */
type Wrong = keyof Say['booking']['wrong'];
const said = (wrong: Wrong): Wrong => wrong;

const Day = z.iso.date(said('day'));
const Amount = z
  .string()
  .trim()
  .transform((text) => text.replace(',', '.'))
  .pipe(z.string().regex(/^\d{1,5}(\.\d{1,2})?$/, said('amount')))
  .transform(Number)
  .pipe(z.number().gt(0, said('nothing')));

const ExtraForm = z.object({
  eventKind: z.enum(EVENT_KINDS, said('event')),
  eventEndsLocal: z.string(),
  amount: Amount,
  unit: z.enum(UNITS).default('sacks'),
  fromDay: Day,
  untilDay: Day,
  remarks: z.string().trim().max(1000, said('long')).optional(),
  hazardNone: z.literal('yes').optional(),
  hazardSharp: z.literal('yes').optional(),
  hazardWet: z.literal('yes').optional(),
  hazardUnknown: z.literal('yes').optional(),
});

export type ExtraFacts = Omit<CollectionFacts, 'siteId'>;
export type ReadBy = {
  readonly zone: string;
  readonly nowAt: Instant;
  /** What a cage or a boot comes to in this site's sacks. */
  readonly fill: DonorFill;
  readonly say: Say;
};

export function extraFacts(typed: Typed, { zone, nowAt, fill, say }: ReadBy): FormRead<ExtraFacts> {
  const filled = Object.fromEntries(Object.entries(typed).filter(([, text]) => text.trim() !== ''));
  const parsed = ExtraForm.safeParse(filled);
  const wrong: Record<string, Wrong> = { ...hazardsWrong(filled) };
  const refused = (): FormRead<ExtraFacts> => ({ ok: false, typed, errors: sentences(wrong, say) });
  if (!parsed.success) {
    for (const { path, message, code } of parsed.error.issues) {
      const field = path.map(String).join('.');
      wrong[field] ??= ((code === 'invalid_type' && MISSING[field]) || message) as Wrong;
    }
    return refused();
  }
  const { eventKind, eventEndsLocal, amount, unit, fromDay, untilDay, remarks = '' } = parsed.data;
  const eventEndsAt = readInstant(zone, eventEndsLocal.trim());
  const untilAt = dayStart(zone, addDays(untilDay, 1));
  // From the day's start even if that is past: the form sent twice must be the same request both times.
  const fromAt = dayStart(zone, fromDay);
  if (eventEndsAt === undefined) wrong['eventEndsLocal'] = 'endsUnread';
  else if (eventEndsAt > nowAt + AHEAD_S) wrong['eventEndsLocal'] = 'endsFar';
  else if (eventEndsAt < nowAt - LATE_S) wrong['eventEndsLocal'] = 'endsLong';
  if (untilDay < fromDay) wrong['untilDay'] = 'order';
  else if (untilAt <= nowAt) wrong['untilDay'] = 'over';
  else if (!wrong['eventEndsLocal'] && eventEndsAt !== undefined && untilAt <= eventEndsAt)
    wrong['untilDay'] = 'early';
  if (eventEndsAt === undefined || Object.keys(wrong).length > 0) return refused();
  return {
    ok: true,
    typed,
    value: {
      eventKind,
      eventEndsAt,
      ...(unit === 'kg' ? { expectedKg: amount } : { expectedBags: sacksIn(unit, amount, fill) }),
      fromAt: Math.max(fromAt, eventEndsAt),
      untilAt,
      remarks,
      hazards: joinHazards(HAZARD_FIELDS.filter((field) => parsed.data[field] !== undefined)),
    },
  };
}

const sentences = (wrong: { readonly [field: string]: Wrong }, { booking }: Say): FieldErrors =>
  Object.fromEntries(Object.entries(wrong).map(([field, why]) => [field, booking.wrong[why]]));

const MISSING: { readonly [field: string]: Wrong } = {
  amount: 'nothing',
  fromDay: 'from',
  untilDay: 'until',
  eventEndsLocal: 'ends',
};

/** Asked, not assumed: one of the boxes has to be ticked. */
function hazardsWrong(filled: Typed): { readonly hazards?: Wrong } {
  const named = HAZARD_FIELDS.some((field) => filled[field] !== undefined);
  const none = filled['hazardNone'] !== undefined;
  if (named && none) return { hazards: 'both' };
  return named || none ? {} : { hazards: 'untold' };
}

/** The form filled with what was said before. */
export function typedExtra(
  facts: Pick<CollectionFacts, 'fromAt' | 'untilAt' | 'remarks' | 'hazards' | 'eventEndsAt'> &
    Partial<Pick<CollectionFacts, 'eventKind' | 'expectedBags' | 'expectedKg'>>,
  zone: string,
): Typed {
  const named = splitHazards(facts.hazards);
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
