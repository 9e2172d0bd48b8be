/** The day before a planned visit, those who want it are reminded. Once a day, from the hour of the digest on. */
import { addDays, instantOf, localOf, minuteOf } from '../../core/calendar/zone.ts';
import { inTransaction, type Store } from '../../store/db.ts';
import { publishedPlan } from '../../store/plans.ts';
import { getWorkshop } from '../../store/workshop.ts';
import type { Context } from '../context.ts';
import { tell } from './queue-word.ts';

/** The day of the last reminders, by store: whether they are written is looked up once a day, not at each look. */
const lastDay = new WeakMap<Store, string>();

export function remindOfTomorrow({ store, now, newId }: Context): void {
  const workshop = getWorkshop(store);
  if (!workshop) return;
  const { zone, settings } = workshop;
  const at = now();
  const { day } = localOf(zone, at);
  if (at < instantOf(zone, day, minuteOf(settings.word.digestAt)!) || lastDay.get(store) === day) return;
  const tomorrow = addDays(day, 1);
  const rounds = (publishedPlan(store)?.rounds ?? []).filter((round) => round.day === tomorrow);
  if (rounds.length > 0)
    inTransaction(store, (tx) => {
      for (const { stops } of rounds)
        for (const { siteId, startAt } of stops)
          if (siteId !== undefined)
            // The same visit is reminded of once, whoever asks again.
            tell(
              { tx, at, newId },
              { template: 'visit-tomorrow', facts: { siteId, startAt } },
              `${siteId}:${tomorrow}`,
            );
    });
  lastDay.set(store, day);
}
