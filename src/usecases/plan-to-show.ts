/** The plan that people look at, and which changes by hand start from. */
import type { Db } from '../store/db.ts';
import { getPlan, newestDraftAfter, publishedPlan, type StoredPlan } from '../store/plans.ts';

/** The newest draft if it is newer than what is published, else what is published. */
export function planToShow(db: Db): StoredPlan | undefined {
  const published = publishedPlan(db);
  const draft = newestDraftAfter(db, published);
  return draft ? getPlan(db, draft.id) : published;
}
