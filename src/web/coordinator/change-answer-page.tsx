/** What would follow from a change, before anything is kept: money by part, days, vans, and what stands in the way. */
import { brokenPromiseWords, changeWords, consequenceWords, obstacleWords } from '../shared/change-words.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { PLAN_STATE_WORDS } from '../shared/words.ts';
import { ChangeForm, FRAME, Lost, Newer } from './change-page.tsx';
import { roomPath } from './change-query.ts';
import { DaysTable, MoneyTable, VansTable } from './change-tables.tsx';
import type { AnswerView } from './change-view.ts';

export const AnswerPage = ({
  view,
  notice,
  newId,
}: {
  readonly view: AnswerView;
  readonly notice?: Notice | undefined;
  readonly newId: string;
}) => {
  const { names, planId, change, consequences } = view;
  const { obstacles, before, after } = consequences;
  const title = changeWords(change, names);
  const [first, ...others] = consequenceWords(consequences, names);
  return (
    <Page title={title} workshop={names.workshop} notice={notice} {...FRAME}>
      <p class="kicker">
        <a href={wayBack(view)}>{change.kind === 'swap-drivers' ? 'The drivers' : 'The stop'}</a> ·{' '}
        <a href={`/week?plan=${planId}`}>the week sheet</a> · {PLAN_STATE_WORDS[view.planState].toLowerCase()}{' '}
        plan
      </p>
      <h1>{title}</h1>
      <Newer view={view} />
      <Lost view={view} />
      {obstacles.length > 0 ? (
        <div class="notice notice-warning" role="alert">
          <p>
            <strong>This cannot be driven.</strong>
          </p>
          <ul class="change-list">
            {obstacles.map((one) => (
              <li>{obstacleWords(one, names)}</li>
            ))}
          </ul>
        </div>
      ) : (
        <p class="lead">{first}</p>
      )}
      {consequences.brokenPromises.length > 0 && (
        <div class="notice notice-warning" role="alert">
          <p>
            <strong>Somebody was promised otherwise.</strong> Talk to the donor first.
          </p>
          <ul class="change-list">
            {consequences.brokenPromises.map((promise) => (
              <li>{brokenPromiseWords(promise, names)}</li>
            ))}
          </ul>
        </div>
      )}
      {obstacles.length === 0 && (
        <ul class="change-follows">
          {others.map((sentence) => (
            <li>{sentence}</li>
          ))}
        </ul>
      )}
      <Decide view={view} newId={newId} />
      {after && (
        <>
          <MoneyTable before={before} after={after} currency={names.currency} />
          <DaysTable before={before} after={after} />
          <VansTable names={names} before={before} after={after} />
        </>
      )}
      <p class="small soft">
        Reckoned on the facts of now with everything else in its place. A week planned again around this
        change costs the same or less.
      </p>
    </Page>
  );
};

const wayBack = ({ planId, change }: AnswerView): string =>
  change.kind === 'swap-drivers'
    ? `/plans/${planId}/drivers/${change.shiftId}`
    : `/plans/${planId}/sites/${change.siteId}/change?day=${change.day}`;

const Decide = ({ view, newId }: { readonly view: AnswerView; readonly newId: string }) => {
  const { obstacles, brokenPromises } = view.consequences;
  const isOpen = obstacles.length === 0 && view.newestId === undefined;
  const breaks = brokenPromises.length > 0;
  const room = view.newestId === undefined ? roomPath(view.planId, view.change) : undefined;
  return (
    <div class="actions on-screen change-decide">
      {isOpen && (
        <ChangeForm planId={view.planId} change={view.change} newId={newId} breaks={breaks}>
          <button class="primary" type="submit">
            {breaks ? 'Keep as draft, and break the promise' : 'Keep as draft'}
          </button>
        </ChangeForm>
      )}
      <a class="button" href={wayBack(view)}>
        Leave it
      </a>
      {room && (
        <a href={room}>{isOpen ? 'Arrange the others around it' : 'Let the others make room for it'}</a>
      )}
    </div>
  );
};
