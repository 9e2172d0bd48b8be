/** Something happened, said in text: its facts are read, and the use case of its kind takes it from there. */
import type { Result } from '../../core/quantity/result.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import type { Context } from '../context.ts';
import { type FieldFaults, readFields, type Sent } from './fields.ts';
import { type AnyRefusal, HAPPENINGS, type Happening, type HappeningKind } from './kinds.ts';

export type TellRefusal =
  | { readonly kind: 'facts-unreadable'; readonly faults: FieldFaults }
  | { readonly kind: 'refused'; readonly refusal: AnyRefusal };

/** @param factId made by whoever tells it: told again with the same id, it has happened once */
export function tell(
  context: Context,
  kind: HappeningKind,
  sent: Sent,
  { factId, actor }: { readonly factId: string; readonly actor: string },
): Result<{ readonly id: string }, TellRefusal> {
  const { zone } = requireWorkshop(context.store);
  const { fields, tell: tellIt }: Happening = HAPPENINGS[kind];
  const read = readFields(context.store, zone, fields, sent);
  if (!read.ok) return { ok: false, refusal: { kind: 'facts-unreadable', faults: read.faults } };
  const told = tellIt(context, read.values as never, { factId, actor, nowAt: context.now() });
  return told.ok
    ? { ok: true, value: { id: told.value } }
    : { ok: false, refusal: { kind: 'refused', refusal: told.refusal } };
}
