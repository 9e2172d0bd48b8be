/** One change by hand as the query of an address, so that every answer can be bookmarked, sent and come back to. */
import { z } from 'zod';
import type { Change } from '../../core/planning/changes.ts';
import { Id } from '../shared/ids.ts';

const Day = z.iso.date();
const Position = z.coerce.number().int().min(1).max(250);
const Query = z.discriminatedUnion('kind', [
  z.object({ kind: z.enum(['skip', 'pin', 'unpin']), site: Id, day: Day }),
  z.object({
    kind: z.literal('add'),
    site: Id,
    day: Day,
    shift: Id.optional(),
    position: Position.optional(),
  }),
  z.object({
    kind: z.literal('move'),
    site: Id,
    day: Day,
    to: Day.optional(),
    shift: Id.optional(),
    position: Position.optional(),
  }),
  z.object({ kind: z.literal('swap-drivers'), shift: Id, with: Id }),
]);

export function changeOfQuery(query: { readonly [name: string]: string }): Change | undefined {
  const parsed = Query.safeParse(Object.fromEntries(Object.entries(query).filter(([, text]) => text !== '')));
  if (!parsed.success) return undefined;
  const asked = parsed.data;
  if (asked.kind === 'swap-drivers')
    return { kind: 'swap-drivers', shiftId: asked.shift, withShiftId: asked.with };
  const { site: siteId, day } = asked;
  if (asked.kind !== 'add' && asked.kind !== 'move') return { kind: asked.kind, siteId, day };
  const where = {
    ...(asked.shift === undefined ? {} : { shiftId: asked.shift }),
    ...(asked.position === undefined ? {} : { position: asked.position }),
  };
  if (asked.kind === 'add') return { kind: 'add', siteId, day, ...where };
  return { kind: 'move', siteId, day, ...(asked.to === undefined ? {} : { toDay: asked.to }), ...where };
}

/** Field by field, for a query or a form's hidden inputs. */
export function queryOfChange(change: Change): readonly (readonly [string, string])[] {
  if (change.kind === 'swap-drivers')
    return [
      ['kind', change.kind],
      ['shift', change.shiftId],
      ['with', change.withShiftId],
    ];
  const { kind, siteId, day } = change;
  const fields: [string, string][] = [
    ['kind', kind],
    ['site', siteId],
    ['day', day],
  ];
  if (kind !== 'add' && kind !== 'move') return fields;
  if (kind === 'move' && change.toDay !== undefined) fields.push(['to', change.toDay]);
  if (change.shiftId !== undefined) fields.push(['shift', change.shiftId]);
  if (change.position !== undefined) fields.push(['position', String(change.position)]);
  return fields;
}

export const answerPath = (planId: string, change: Change): string =>
  `/plans/${planId}/what-if?${new URLSearchParams(queryOfChange(change).map(([name, value]) => [name, value]))}`;
