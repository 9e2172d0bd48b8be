/** Fits how sites fill to the workshop's own history, when there is enough of it and a good part is new. */
import { fitParameters, LEAST_PICKUPS } from '../core/accumulation/fit-parameters.ts';
import { inTransaction } from '../store/db.ts';
import { readLoadsWeighed } from '../store/evidence.ts';
import { appendEntry } from '../store/journal.ts';
import { requireWorkshop, saveWorkshop } from '../store/workshop.ts';
import type { Context } from './context.ts';
import { readSiteHistories } from './read-site-histories.ts';

/** A tenth more pickups than last time may change the answer; fewer hardly do. */
const NEW_SHARE = 0.1;

/** True if new parameters were kept. About a second for a year of sixty sites: not for a page to wait on. */
export function fitEstimator({ store, now }: Context, actor: string): boolean {
  const histories = readSiteHistories(store);
  const pickups = histories.reduce(
    (sum, { evidence }) => sum + evidence.filter((one) => one.kind === 'picked-up').length,
    0,
  );
  const last = requireWorkshop(store).settings.filter?.pickups ?? 0;
  if (pickups < LEAST_PICKUPS || pickups < last * (1 + NEW_SHARE)) return false;
  const { parameters } = fitParameters(histories, readLoadsWeighed(store));
  inTransaction(store, (tx) => {
    const workshop = requireWorkshop(tx);
    const filter = { ...parameters, pickups };
    saveWorkshop(tx, { ...workshop, settings: { ...workshop.settings, filter } });
    appendEntry(tx, {
      at: now(),
      kind: 'estimator-fitted',
      subject: 'workshop:workshop',
      actor,
      facts: filter,
    });
  });
  return true;
}
