/** Changes by hand and their answers between the wire and the core; the command line prints the same. */
import type { z } from '@hono/zod-openapi';
import type { Change } from '../../core/planning/changes.ts';
import type { WhatIfAnswer } from '../../usecases/what-if.ts';
import { brokenPromiseWords, changeWords, consequenceWords, obstacleWords } from '../shared/change-words.ts';
import type { Names } from '../shared/names.ts';
import type * as s from './change-schemas.ts';
import { toJson } from './json.ts';

export function changeOf(change: s.ChangeJson): Change {
  if (change.kind === 'swap-drivers')
    return { kind: change.kind, shiftId: change.shift_id, withShiftId: change.with_shift_id };
  const { site_id: siteId, day } = change;
  if (change.kind !== 'add' && change.kind !== 'move') return { kind: change.kind, siteId, day };
  const { shift_id, position } = change;
  const where = {
    ...(shift_id === undefined ? {} : { shiftId: shift_id }),
    ...(position === undefined ? {} : { position }),
  };
  if (change.kind === 'add') return { kind: 'add', siteId, day, ...where };
  const { to_day } = change;
  return { kind: 'move', siteId, day, ...(to_day === undefined ? {} : { toDay: to_day }), ...where };
}

export function answerJson(
  { planId, newestId, lost, consequences }: WhatIfAnswer,
  changes: readonly Change[],
  names: Names,
): z.output<typeof s.WhatIfAnswer> {
  const { obstacles, brokenPromises, before, after, difference, sites } = consequences;
  return toJson({
    planId,
    newestPlanId: newestId,
    isFeasible: obstacles.length === 0,
    obstacles: obstacles.map((one) => ({ ...one, says: obstacleWords(one, names) })),
    brokenPromises: brokenPromises.map((one) => ({ ...one, says: brokenPromiseWords(one, names) })),
    does: changes.map((change) => changeWords(change, names)),
    says: consequenceWords(consequences, names),
    before,
    after: after ?? null,
    difference: difference ?? null,
    sites: sites.map((site) => ({ before: site.before, after: site.after ?? null })),
    lost,
  }) as z.output<typeof s.WhatIfAnswer>;
}
