/** Two plans beside each other: who is visited on another day, and what each costs by part. */
import type { PlanSummary } from '../../store/plans.ts';
import { dateTime, time } from '../shared/format.ts';
import { Page } from '../shared/page.tsx';
import { PLAN_STATE_WORDS } from '../shared/words.ts';
import type { ComparedPlan, CompareView } from './change-compare-view.ts';
import { FRAME } from './change-page.tsx';
import { DaysTable, MoneyTable } from './change-tables.tsx';
import { changedDaysWords } from './changes-page.tsx';
import { Differences } from './differences.tsx';

export const ComparePage = ({ view }: { readonly view: CompareView }) => {
  const { names, one, other, differences } = view;
  const isSame = one.planId === other.planId;
  return (
    <Page title="Two plans beside each other" workshop={names.workshop} {...FRAME}>
      <p class="kicker">
        On the week sheet: <a href={`/week?plan=${one.planId}`}>the first</a>,{' '}
        <a href={`/week?plan=${other.planId}`}>the second</a>
      </p>
      <h1>Two plans beside each other</h1>
      <form method="get" action="/plans/beside" class="change-place on-screen">
        <label for="one">Compare</label>
        <PlanSelect name="one" chosen={one.planId} view={view} />
        <label for="other">with</label>
        <PlanSelect name="other" chosen={other.planId} view={view} />
        <button type="submit">Show</button>
      </form>
      <section class="change-part" aria-labelledby="what">
        <h2 id="what">{isSame ? 'It is the same plan' : changedDaysWords(view.changedDays)}</h2>
        {differences.length === 0 ? (
          <p>Everybody is visited on the same day and by the same round in both.</p>
        ) : (
          <Differences differences={differences} names={names} isTold={false} />
        )}
      </section>
      {one.figures && other.figures && sameDays(one, other) ? (
        <>
          <MoneyTable
            before={one.figures}
            after={other.figures}
            currency={names.currency}
            heads={[headOf(one, view), headOf(other, view)]}
          />
          <DaysTable before={one.figures} after={other.figures} />
          <p class="small soft">Both reckoned on the facts of now.</p>
        </>
      ) : (
        <p>
          They are for different days, or one of them was replaced, so that their money cannot be compared.
        </p>
      )}
    </Page>
  );
};

const sameDays = ({ figures: a }: ComparedPlan, { figures: b }: ComparedPlan): boolean =>
  a?.days.map(({ day }) => day).join() === b?.days.map(({ day }) => day).join();

const headOf = ({ state, createdAt }: ComparedPlan, { names }: CompareView): string =>
  `${PLAN_STATE_WORDS[state]}, ${time(createdAt, names.zone)}`;

const PlanSelect = ({
  name,
  chosen,
  view,
}: {
  readonly name: string;
  readonly chosen: string;
  readonly view: CompareView;
}) => (
  <select id={name} name={name}>
    {view.plans.map((plan, i) => (
      <option value={plan.id} selected={plan.id === chosen}>
        {PLAN_STATE_WORDS[plan.state]} of {dateTime(plan.createdAt, view.names.zone)}
        {isOfSameMinute(plan, view) && `, number ${view.plans.length - i}`}
      </option>
    ))}
  </select>
);

const isOfSameMinute = ({ id, state, createdAt }: PlanSummary, { plans }: CompareView): boolean =>
  plans.some(
    (other) => other.id !== id && other.state === state && Math.abs(other.createdAt - createdAt) < 60,
  );
