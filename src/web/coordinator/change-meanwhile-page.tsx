/** Somebody else was quicker: what they changed, and the way to make one's own change on top. */
import type { Change } from '../../core/planning/changes.ts';
import type { ChangedMeanwhile } from '../../usecases/save-changed-plan.ts';
import { changeWords, whoAndWhen } from '../shared/change-words.ts';
import type { Names } from '../shared/names.ts';
import { Page } from '../shared/page.tsx';
import { FRAME } from './change-page.tsx';
import { answerPath } from './change-query.ts';
import { Differences } from './differences.tsx';

type MeanwhileView = {
  readonly names: Names;
  readonly meanwhile: ChangedMeanwhile;
  /** What was to be kept; absent where a change was to be taken back. */
  readonly change?: Change;
};

export const MeanwhilePage = ({ view: { names, meanwhile, change } }: { readonly view: MeanwhileView }) => {
  const { newestId, by, at, differences, planId } = meanwhile;
  return (
    <Page title="The week was changed meanwhile" workshop={names.workshop} {...FRAME}>
      <h1>The week was changed meanwhile</h1>
      <p class="lead">
        Changed by {whoAndWhen(by, at, names.zone)}. Yours was not kept, and nothing of theirs is lost.
      </p>
      <section class="change-part" aria-labelledby="what">
        <h2 id="what">What is different now</h2>
        {differences.length === 0 ? (
          <p>Nobody’s day or van: a pin, a driver, or hours by less than half an hour.</p>
        ) : (
          <Differences differences={differences} names={names} isTold={false} />
        )}
      </section>
      {newestId !== null && (
        <div class="actions on-screen change-decide">
          {change && (
            <a class="button primary" href={answerPath(newestId, change)}>
              See yours on top of it
            </a>
          )}
          <a class="button" href={`/week?plan=${newestId}`}>
            The week as it is now
          </a>
          <a href={`/plans/${planId}/against/${newestId}`}>Compare both</a>
        </div>
      )}
      {change && <p class="soft">Yours was: {changeWords(change, names)}.</p>}
    </Page>
  );
};
