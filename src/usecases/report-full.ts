/** A donor says how full the container is: evidence for the estimate, weighed as such. */
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant } from '../core/quantity/units.ts';
import { inTransaction } from '../store/db.ts';
import { getFillReport, recordFillReport } from '../store/fill-reports.ts';
import { appendEntry } from '../store/journal.ts';
import { getSite } from '../store/sites.ts';
import { isStillToCome, type StillToCome } from './clock-skew.ts';
import type { Context } from './context.ts';

export type FillReported = {
  /** Becomes the report's id, so that a second press of the button changes nothing. */
  readonly factId: string;
  readonly siteId: string;
  readonly at: Instant;
  /** 1 is full to the brim. */
  readonly fraction: number;
  readonly reportedBy: string;
};

export type FullRefusal =
  | { readonly kind: 'site-not-found' }
  | { readonly kind: 'fact-differs' }
  | StillToCome;

export function reportFull(
  { store, now }: Context,
  { factId, siteId, at, fraction, reportedBy }: FillReported,
): Result<{ readonly reportId: string }, FullRefusal> {
  return inTransaction(store, (tx) => {
    if (!getSite(tx, siteId)) return refuse({ kind: 'site-not-found' });
    const before = getFillReport(tx, factId);
    if (before)
      return before.siteId === siteId && before.fraction === fraction
        ? ok({ reportId: factId })
        : refuse({ kind: 'fact-differs' });
    if (isStillToCome(at, now())) return refuse({ kind: 'still-to-come' });
    recordFillReport(tx, { id: factId, siteId, at, fraction, reportedBy });
    appendEntry(tx, {
      at: now(),
      kind: 'container-reported-full',
      subject: `site:${siteId}`,
      actor: reportedBy,
      facts: { reportId: factId, fraction },
    });
    return ok({ reportId: factId });
  });
}
