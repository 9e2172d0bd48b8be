/** Two drivers change places: with whom, and what it would cost. */
import { signedMoney } from '../shared/change-words.ts';
import { dayLong } from '../shared/format.ts';
import { Page } from '../shared/page.tsx';
import type { DriversView } from './change-drivers-view.ts';
import { FRAME, Newer } from './change-page.tsx';
import { answerPath } from './change-query.ts';

export const DriversPage = ({ view }: { readonly view: DriversView }) => {
  const { names, planId, shiftId, driverId, choices } = view;
  const title = `Another driver for ${names.of('shift', shiftId)}`;
  return (
    <Page title={title} workshop={names.workshop} {...FRAME}>
      <p class="kicker">
        <a href={`/week?plan=${planId}`}>The week sheet</a>
      </p>
      <h1>{title}</h1>
      <Newer view={view} />
      <p class="lead">
        {names.of('driver', driverId)} drives it now. Two drivers change places; the vans and the stops stay.
        The register follows when the plan is published.
      </p>
      {choices.length === 0 ? (
        <p>Nobody else has a shift in these days on which the other is free.</p>
      ) : (
        <ul class="change-choices">
          {choices.map(({ change, consequences: { before, after }, driverId: otherId, vanId, day }) => (
            <li class="change-choice">
              <p class="change-what">
                <a href={answerPath(planId, change)}>{names.of('driver', otherId)}</a>
              </p>
              <p class="change-cost">
                {after && signedMoney(after.costMicros - before.costMicros, names.currency)}
              </p>
              <p class="change-about">
                {names.of('driver', driverId)} takes {names.of('van', vanId)} on {dayLong(day)} instead.
              </p>
            </li>
          ))}
        </ul>
      )}
    </Page>
  );
};
