/** Room for a visit: who else would move for it, and what that costs, before anything is kept. */
import type { UnkeptPromise } from '../../core/planning/plan.ts';
import type { RoomMade, RoomWanted } from '../../usecases/make-room.ts';
import { costWords } from '../shared/change-words.ts';
import { dayLong, number } from '../shared/format.ts';
import type { Names } from '../shared/names.ts';
import { Page } from '../shared/page.tsx';
import { unkeptPromise } from '../shared/words.ts';
import { FRAME, Newer } from './change-page.tsx';
import { answerPath } from './change-query.ts';
import { DaysTable, MoneyTable } from './change-tables.tsx';
import { Differences } from './differences.tsx';

export type RoomView = {
  readonly names: Names;
  readonly planId: string;
  readonly wanted: RoomWanted;
  readonly made:
    | Pick<RoomMade, 'before' | 'after' | 'differences'>
    /** Nothing can be done: what would break. */
    | { readonly unkept: readonly UnkeptPromise[] };
  readonly newestId?: string;
};

const changeOf = ({ siteId, day, toDay }: RoomWanted) =>
  day === undefined
    ? ({ kind: 'add', siteId, day: toDay } as const)
    : ({ kind: 'move', siteId, day, toDay } as const);

export const RoomPage = ({ view, newId }: { readonly view: RoomView; readonly newId: string }) => {
  const { names, planId, wanted, made } = view;
  const title = `Room for ${names.of('site', wanted.siteId)} on ${dayLong(wanted.toDay)}`;
  const back = answerPath(planId, changeOf(wanted));
  return (
    <Page title={title} workshop={names.workshop} {...FRAME}>
      <p class="kicker">
        <a href={back}>The change alone</a> · <a href={`/week?plan=${planId}`}>the week sheet</a>
      </p>
      <h1>{title}</h1>
      <Newer view={view} />
      {'unkept' in made ? (
        <div class="notice notice-warning" role="alert">
          <p>
            <strong>There is no room to make.</strong> Whoever else moves, it does not fit:
          </p>
          <ul class="change-list">
            {made.unkept.map((promise) => {
              const { what, mend } = unkeptPromise(promise, names);
              return (
                <li>
                  {names.of('site', promise.siteId)}: {what} {mend}
                </li>
              );
            })}
          </ul>
        </div>
      ) : (
        <>
          <p class="lead">{costWords(made.before, made.after, names)}</p>
          <p>
            The visit is pinned to its day, and the sites around it are arranged anew. Everybody else stays.
          </p>
        </>
      )}
      <div class="actions on-screen change-decide">
        {!('unkept' in made) && view.newestId === undefined && (
          <form method="post" action={`/plans/${planId}/room`}>
            <input type="hidden" name="factId" value={newId} />
            <input type="hidden" name="site" value={wanted.siteId} />
            {wanted.day !== undefined && <input type="hidden" name="day" value={wanted.day} />}
            <input type="hidden" name="to" value={wanted.toDay} />
            <button class="primary" type="submit">
              Keep as draft
            </button>
          </form>
        )}
        <a class="button" href={back}>
          Leave it
        </a>
      </div>
      {!('unkept' in made) && (
        <>
          <section class="change-part" aria-labelledby="who">
            <h2 id="who">Who is visited otherwise ({number(made.differences.length)})</h2>
            <Differences differences={made.differences} names={names} isTold={false} />
          </section>
          <MoneyTable before={made.before} after={made.after} currency={names.currency} />
          <DaysTable before={made.before} after={made.after} />
        </>
      )}
    </Page>
  );
};
