/** Changes by hand over the wire: what may be asked, and what is answered. Stable: scripts of the pages read it. */
import { z } from '@hono/zod-openapi';
import { MONEY_PARTS } from '../../core/planning/plan.ts';
import { Day, Id, Instant } from './schemas.ts';

const MOST_CHANGES = 50;
const num = (description: string) => z.number().openapi({ description });
const micros = (description: string) =>
  z.int().openapi({ description: `${description}, whole millionths of the workshop's currency` });

const shift = {
  shift_id: Id.optional().openapi({ description: 'The van; absent: where it costs least' }),
  position: z.int().min(1).max(250).optional().openapi({
    description:
      'Among the site stops of the round, unloadings and breaks not counted: 1 is first, beyond the last is last. Absent: where it costs least',
  }),
};
const Change = z
  .discriminatedUnion('kind', [
    z.strictObject({ kind: z.enum(['skip', 'pin', 'unpin']), site_id: Id, day: Day }),
    z.strictObject({ kind: z.literal('add'), site_id: Id, day: Day, ...shift }),
    z.strictObject({
      kind: z.literal('move'),
      site_id: Id,
      day: Day.openapi({ description: 'The day it is on now' }),
      to_day: Day.optional().openapi({ description: 'Absent: the same day' }),
      ...shift,
    }),
    z.strictObject({ kind: z.literal('swap-drivers'), shift_id: Id, with_shift_id: Id }),
  ])
  .openapi('PlanChange');
const changes = z.array(Change).min(1).max(MOST_CHANGES).openapi({ description: 'Made one after the other' });

export const WhatIfBody = z.strictObject({ changes }).openapi('WhatIf');
export const ChangesBody = z
  .strictObject({
    changes,
    break_promises: z
      .boolean()
      .default(false)
      .openapi({ description: 'Keep it although it breaks promises; without, that is refused and named' }),
  })
  .openapi('PlanChanges');
export type ChangeJson = z.output<typeof Change>;

const Money = z.record(z.enum(MONEY_PARTS), z.int()).openapi({ description: 'By part; sums to the cost' });
const DayFigures = z.object({
  day: Day,
  rounds: z.int(),
  stops: z.int(),
  distance_m: z.number(),
  duration_s: num('From leaving the workshop to the end of the last unloading, all rounds together'),
  expected_kg: z.number(),
});
const RoundFigures = z.object({
  shift_id: Id,
  van_id: Id,
  driver_id: Id,
  day: Day,
  start_at: Instant,
  end_at: Instant,
  shift_end_at: Instant,
  stops: z.int(),
  distance_m: z.number(),
  duration_s: z.number(),
  overtime_s: z.number(),
  load_kg: num('The fullest trip, mean'),
  load_l: z.number(),
  cautious_load_kg: num('The same at the quantile that is held against the van'),
  cautious_load_l: z.number(),
  payload_kg: z.number(),
  load_space_l: z.number(),
  full_early_risk: num('Chance that the van is full before the last stop of a trip, 0 to 1'),
});
const WeekFigures = z
  .object({
    cost_micros: micros('All parts'),
    money: Money,
    days: z.array(DayFigures),
    rounds: z.array(RoundFigures),
    overflow_kg: num('Expected, all sites, to the end of the days'),
    shortage_kg: num('Expected to be bought in'),
    unkept: z.array(z.looseObject({ site_id: Id, kind: z.string(), why: z.string() })),
  })
  .openapi('WeekFigures');
const SiteFigures = z.object({
  site_id: Id,
  days: z.array(Day).openapi({ description: 'On which it is visited' }),
  overflow_risk: num('The highest chance of overflow before the van comes or the days end, 0 to 1'),
  overflow_kg: z.number(),
});
const Obstacle = z
  .looseObject({
    kind: z.enum([
      'closed',
      'no-shift',
      'shift-exceeded',
      'hours-missed',
      'van-over-payload',
      'van-over-space',
    ]),
    says: z.string().openapi({ description: 'The same in a sentence' }),
    site_id: Id.optional(),
    day: Day.optional(),
    shift_id: Id.optional(),
    end_at: Instant.optional(),
    latest_at: Instant.optional(),
    by_s: z.number().optional(),
    cautious_load_kg: z.number().optional(),
    payload_kg: z.number().optional(),
    cautious_load_l: z.number().optional(),
    load_space_l: z.number().optional(),
  })
  .openapi('Obstacle');

export const WhatIfAnswer = z
  .object({
    plan_id: Id,
    newest_plan_id: Id.nullable().openapi({
      description: 'The plan on show; changes are kept only where it is plan_id',
    }),
    is_feasible: z.boolean().openapi({ description: 'No obstacle stands in the way' }),
    obstacles: z.array(Obstacle),
    broken_promises: z
      .array(z.looseObject({ site_id: Id, kind: z.string(), says: z.string() }))
      .openapi({ description: 'Kept before, not after; to keep the change, send break_promises' }),
    does: z.array(z.string()).openapi({ description: 'The changes in words, one each' }),
    says: z.array(z.string()).openapi({
      description: 'What follows in sentences, most important first; empty where it cannot be driven',
    }),
    before: WeekFigures,
    after: WeekFigures.nullable().openapi({ description: 'null where a round cannot be driven at all' }),
    difference: Money.nullable().openapi({ description: 'After less before; negative saves' }),
    sites: z.array(z.object({ before: SiteFigures, after: SiteFigures.nullable() })),
    lost: z.array(z.object({ site_id: Id, day: Day, shift_id: Id })).openapi({
      description:
        'Stops of the plan that cannot be driven any more on the facts of now, whatever is changed',
    }),
  })
  .openapi('WhatIfAnswer');

export const RoomBody = z
  .strictObject({
    site_id: Id,
    day: Day.optional().openapi({ description: 'The day it is on now; absent: it is not visited' }),
    to_day: Day,
  })
  .openapi('RoomWanted');
export const Room = z
  .object({
    plan_id: Id,
    newest_plan_id: Id.nullable(),
    before: WeekFigures,
    after: WeekFigures,
    differences: z
      .array(z.looseObject({ site_id: Id, kind: z.string() }))
      .openapi({ description: 'Who is visited on another day, by another round or at another hour' }),
  })
  .openapi('Room');
