/** Which plan people look at when they name none. */
import type { Db } from '../store/db.ts';
import { getPlan, listPlans, publishedPlan, type StoredPlan } from '../store/plans.ts';

/** The newest draft if it is newer than what is published, else what is published. */
export function planToShow(db: Db): StoredPlan | undefined {
  const published = publishedPlan(db);
  const draft = listPlans(db, 'draft', 1)[0];
  if (draft && (!published || draft.createdAt >= (published.publishedAt ?? 0))) return getPlan(db, draft.id);
  return published;
}
