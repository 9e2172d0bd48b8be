/** From a typed weigh-in form to facts, or to sentences beside the fields. Nothing is asked of anyone here. */
import { z } from 'zod';
import { readInstant } from '../../core/calendar/zone.ts';
import type { Instant } from '../../core/quantity/units.ts';
import { MISSED_REASONS } from '../../core/vocabulary.ts';
import type { FieldErrors, FormRead, Typed } from '../shared/form.ts';
import { Id } from '../shared/ids.ts';
import { filledOf, Note, pruned, readAmounts } from '../shared/weigh-in-fields.ts';
import type { StopWeighIn } from './driver-deps.ts';
import type { StopPageView } from './run-view.ts';

const WeighInForm = z.object({
  factId: Id,
  replacesId: Id.optional(),
  /** Only for what was written on paper first. */
  collectedLocal: z.string().optional(),
});

/** Its note has a name of its own, because both forms stand on one page. */
export const MissedForm = z.object({
  factId: Id,
  reason: z.enum(MISSED_REASONS, 'Choose why it was not collected'),
  missedNote: Note.optional(),
});

export type WeighInFacts = Omit<StopWeighIn, 'stopId' | 'driverId'>;

/** `typed` is the form as sent; all wrong fields are named at once. */
export function weighInFacts(typed: Typed, view: StopPageView): FormRead<WeighInFacts> {
  const { stop, grades } = view;
  const parsed = WeighInForm.safeParse(filledOf(typed));
  const amounts = readAmounts(typed, stop.bagKg, grades);
  if (!parsed.success || !amounts.value) {
    const unread = Object.fromEntries(
      (parsed.error?.issues ?? []).map(({ path, message }) => [path.map(String).join('.'), message]),
    );
    return { ok: false, typed, errors: { ...unread, ...amounts.errors } };
  }
  const { collectedLocal, ...rest } = parsed.data;
  const when = collectedAt(collectedLocal, view);
  const errors = { ...when.errors, ...amounts.errors };
  return Object.keys(errors).length > 0
    ? { ok: false, typed, errors }
    : { ok: true, typed, value: { ...pruned(rest), ...amounts.value, at: when.at } };
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
