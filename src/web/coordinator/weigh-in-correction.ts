/** From the coordinator's typed correction to facts, or to sentences beside the fields. */
import { z } from 'zod';
import { readInstant } from '../../core/calendar/zone.ts';
import type { Instant } from '../../core/quantity/units.ts';
import type { FormRead, Typed } from '../shared/form.ts';
import { Id } from '../shared/ids.ts';
import { type Amounts, filledOf, readAmounts } from '../shared/weigh-in-fields.ts';
import type { WeighInView } from './weigh-in-view.ts';

export type CorrectionFacts = Amounts & {
  readonly factId: string;
  readonly replacesId: string;
  readonly siteId: string;
  readonly at: Instant;
};

const Form = z.object({
  factId: Id,
  replacesId: Id,
  site: Id.optional(),
  collectedLocal: z.string('Type the day and the time, such as 2026-03-12T10:40'),
});

/** `typed` is the form as sent; all wrong fields are named at once. */
export function correctionFacts(typed: Typed, view: WeighInView): FormRead<CorrectionFacts> {
  const parsed = Form.safeParse(filledOf(typed));
  const amounts = readAmounts(typed, view.bagKg, view.grades);
  const errors: { [field: string]: string } = { ...amounts.errors };
  for (const { path, message } of parsed.error?.issues ?? []) errors[path.map(String).join('.')] ??= message;
  if (!parsed.success || !amounts.value) return { ok: false, typed, errors };
  const { factId, replacesId, site, collectedLocal } = parsed.data;
  const at = readInstant(view.workshop.zone, collectedLocal.trim());
  if (at === undefined) errors['collectedLocal'] = 'Type the day and the time, such as 2026-03-12T10:40';
  else if (at > view.nowAt + 60) errors['collectedLocal'] = 'This time is still to come';
  const siteId = view.stopId === null ? (site ?? view.siteId) : view.siteId;
  if (siteId !== view.siteId && !view.sites.some(({ id }) => id === siteId))
    errors['site'] = 'Choose a site from the list';
  if (at === undefined || Object.keys(errors).length > 0) return { ok: false, typed, errors };
  // A form knows minutes: the second that stands is no correction.
  const sameMinute = Math.floor(at / 60) === Math.floor(view.now.at / 60);
  const value = { ...amounts.value, factId, replacesId, siteId, at: sameMinute ? view.now.at : at };
  return { ok: true, typed, value };
}
