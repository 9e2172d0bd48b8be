/** What does not go as planned, and what the program itself could not do, reaches the workshop's own address. */
import { wordsOfMail } from '../store/outbox.ts';
import { reaction } from '../usecases/reaction.ts';
import { tell } from '../usecases/word/queue-word.ts';

export const tellCoordinatorOfExceptions = reaction({
  name: 'tell-coordinator-of-exceptions',
  on: [
    'stop-missed',
    'container-reported-full',
    'extra-collection-requested',
    'plan-in-danger',
    'van-off-road',
    'driver-away',
    'round-finished',
    'reaction-parked',
    'word-parked',
  ],
  run: (context, entry) => {
    // A mail to the workshop that cannot be sent would only bring forth the next one.
    const isOwnMail =
      entry.kind === 'word-parked' &&
      wordsOfMail(context.tx, entry.facts.mailId).every((word) => word.template === 'exception');
    const isOrdinary =
      isOwnMail ||
      (entry.kind === 'round-finished' && entry.facts.openStopIds.length === 0) ||
      (entry.kind === 'container-reported-full' && entry.facts.fraction < 1);
    if (!isOrdinary)
      tell(context, { template: 'exception', facts: { seq: entry.seq } }, `entry ${entry.seq}`);
  },
});
