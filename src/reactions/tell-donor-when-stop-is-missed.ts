/** A stop was not collected: whoever is asked at the site hears why, and when we come next. */
import { publishedStopsOfSite } from '../store/plans.ts';
import { reaction } from '../usecases/reaction.ts';
import { tell } from '../usecases/word/queue-word.ts';

export const tellDonorWhenStopIsMissed = reaction({
  name: 'tell-donor-when-stop-is-missed',
  on: ['stop-missed'],
  run: (context, { subject, facts: { reason, stopId }, seq }) => {
    // They know it themselves, and need do nothing.
    if (reason === 'nothing-there') return;
    const siteId = subject.slice('site:'.length);
    const next = publishedStopsOfSite(context.tx, siteId).find(
      (stop) => stop.startAt > context.at && stop.stopId !== stopId,
    );
    const facts = { siteId, reason, nextAt: next?.startAt ?? null };
    tell(context, { template: 'stop-missed', facts }, `entry ${seq}`);
  },
});
