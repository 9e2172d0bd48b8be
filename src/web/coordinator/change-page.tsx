/** One stop: why it is there, and what each other day, van or place in the round would cost. */
import type { Change } from '../../core/planning/changes.ts';
import { obstacleWords, signedMoney } from '../shared/change-words.ts';
import { dayLong, number, percent, time } from '../shared/format.ts';
import type { Notice } from '../shared/page.tsx';
import { Page } from '../shared/page.tsx';
import { leftOut, moneyChange, PLAN_STATE_WORDS, stopConsequence, stopReason } from '../shared/words.ts';
import { answerPath, queryOfChange } from './change-query.ts';
import type { Choice, ChoicesView, VisitView } from './change-view.ts';

export const FRAME = { role: 'coordinator', here: '/week', width: 'page' } as const;

export const ChangePage = ({
  view,
  notice,
  newId,
}: {
  readonly view: ChoicesView;
  readonly notice?: Notice | undefined;
  readonly newId: string;
}) => {
  const { names, siteId, visit, planId } = view;
  const site = names.of('site', siteId);
  const title = visit ? `Change the stop at ${site}` : `Visit ${site}`;
  return (
    <Page title={title} workshop={names.workshop} notice={notice} {...FRAME}>
      <p class="kicker">
        <a href={`/week?plan=${planId}`}>The week sheet</a> · {PLAN_STATE_WORDS[view.planState].toLowerCase()}{' '}
        plan
      </p>
      <h1>{title}</h1>
      <Newer view={view} />
      <Lost view={view} />
      {visit ? <Why view={view} visit={visit} /> : <WhyNot view={view} />}
      <section class="change-part" aria-labelledby="choices">
        <h2 id="choices">
          {visit
            ? 'What else could be done'
            : view.otherVisits.length > 0
              ? 'What one more visit would cost'
              : 'What a visit would cost'}
        </h2>
        <p class="soft">
          Everything else stays where it is. The money counts driving, hours, film lost and film bought in;
          nothing is kept until you say so.
        </p>
        <ul class="change-choices">
          {view.choices.map((choice) => (
            <ChoiceRow choice={choice} view={view} />
          ))}
        </ul>
      </section>
      {visit && <OtherPlace view={view} visit={visit} />}
      {visit && <Pin view={view} visit={visit} newId={newId} />}
      <p class="change-ways">
        {visit && <a href={`/sites/${siteId}/visit?more=yes`}>Visit {site} once more in these days</a>}
        <a href={`/sites/${siteId}`}>All about {site}</a>
      </p>
    </Page>
  );
};

/** Another plan is on show: changes are made there. */
export const Newer = ({ view }: { readonly view: Pick<ChoicesView, 'newestId'> }) =>
  view.newestId === undefined ? null : (
    <p class="notice notice-warning" role="alert">
      This is not the newest plan. A change can only be kept on{' '}
      <a href={`/week?plan=${view.newestId}`}>the one that is on show now</a>.
    </p>
  );

export const Lost = ({ view: { lost, names } }: { readonly view: Pick<ChoicesView, 'lost' | 'names'> }) =>
  lost.length === 0 ? null : (
    <div class="notice notice-warning" role="alert">
      <p>
        On the facts of now these stops cannot be driven as planned, and a changed plan has no place for them:
      </p>
      <ul class="change-list">
        {lost.map(({ siteId, day }) => (
          <li>
            {names.of('site', siteId)}, {dayLong(day)}
          </li>
        ))}
      </ul>
    </div>
  );

const visitWords = ({ day, startAt, position, order, vanId }: VisitView, { names }: ChoicesView): string =>
  `${dayLong(day)}, ${time(startAt, names.zone)}, by ${names.of('van', vanId)}: stop ${number(position)} of ${number(order.length)}`;

const Why = ({ view, visit }: { readonly view: ChoicesView; readonly visit: VisitView }) => {
  const { names, otherVisits, siteId, planId } = view;
  return (
    <section aria-label="Why it is there">
      <p class="lead">{visitWords(visit, view)}.</p>
      {visit.reason && (
        <p class="change-why">
          <strong>{stopReason(visit.reason, names)}.</strong> {stopConsequence(visit.reason, names)}
        </p>
      )}
      {otherVisits.map((other) => (
        <p class="soft">
          It is visited again on{' '}
          <a href={`/plans/${planId}/sites/${siteId}/change?day=${other.day}`}>{visitWords(other, view)}</a>.
        </p>
      ))}
    </section>
  );
};

const WhyNot = ({ view }: { readonly view: ChoicesView }) => (
  <section aria-label="Why it is not visited">
    {view.leftOut ? (
      <p class="lead">It is not visited in these days. {leftOut(view.leftOut, view.names)}</p>
    ) : view.otherVisits.length > 0 ? (
      <p class="lead">
        It is visited on {view.otherVisits.map((one) => dayLong(one.day)).join(' and ')} already.
      </p>
    ) : (
      <p class="lead">It is not in the register of these days.</p>
    )}
  </section>
);

const ChoiceRow = ({ choice, view }: { readonly choice: Choice; readonly view: ChoicesView }) => {
  const { names, planId } = view;
  const { before, after, difference, obstacles, brokenPromises, sites } = choice.consequences;
  const title = choiceTitle(choice, view);
  if (obstacles.length > 0 || !after || !difference)
    return (
      <li class="change-choice change-cannot">
        <p class="change-what">{title}</p>
        <p class="change-cost">not possible</p>
        <p class="change-about">{obstacles.map((one) => obstacleWords(one, names)).join(' ')}</p>
      </li>
    );
  const own = sites[0];
  const parts = moneyChange(difference, names);
  return (
    <li class="change-choice">
      <p class="change-what">
        <a href={answerPath(planId, choice.change)}>{title}</a>
      </p>
      <p class="change-cost">{signedMoney(after.costMicros - before.costMicros, names.currency)}</p>
      <p class="change-about">
        {parts === '' ? 'Nothing else changes' : sentenceCase(parts)}
        {own?.after && `; ${percent(own.after.overflowRisk)} chance of overflow there`}.
        {brokenPromises.length > 0 && <strong class="loud"> Breaks a promise.</strong>}
      </p>
    </li>
  );
};

const sentenceCase = (text: string): string => text.slice(0, 1).toUpperCase() + text.slice(1);

function choiceTitle({ change, toDay, vanId }: Choice, { names, visit }: ChoicesView): string {
  const van = vanId === undefined ? '' : `, ${names.of('van', vanId)}`;
  if (change.kind === 'skip') return 'Leave it out';
  if (toDay === visit?.day && change.kind === 'move' && change.shiftId !== undefined)
    return `The same day by ${vanId === undefined ? names.of('shift', change.shiftId) : names.of('van', vanId)}`;
  return `${dayLong(toDay ?? '')}${van}`;
}

const OtherPlace = ({ view, visit }: { readonly view: ChoicesView; readonly visit: VisitView }) => {
  const { names, planId, siteId } = view;
  const others = visit.order.filter((id) => id !== siteId);
  if (others.length === 0) return null;
  return (
    <section class="change-part" aria-labelledby="place">
      <h2 id="place">Another place in its round</h2>
      <form method="get" action={`/plans/${planId}/what-if`} class="change-place">
        {queryOfChange({ kind: 'move', siteId, day: visit.day }).map(([name, value]) => (
          <input type="hidden" name={name} value={value} />
        ))}
        <label for="position">It is stop {number(visit.position)}. Make it</label>
        <select id="position" name="position">
          {visit.order.map((_, i) =>
            i + 1 === visit.position ? null : (
              <option value={String(i + 1)}>
                stop {number(i + 1)},{' '}
                {i === others.length
                  ? `after ${names.of('site', others[i - 1]!)}`
                  : `before ${names.of('site', others[i]!)}`}
              </option>
            ),
          )}
        </select>
        <button type="submit">See what follows</button>
      </form>
    </section>
  );
};

const Pin = ({
  view,
  visit,
  newId,
}: {
  readonly view: ChoicesView;
  readonly visit: VisitView;
  readonly newId: string;
}) => {
  const { siteId } = view;
  const change: Change = { kind: visit.isPinned ? 'unpin' : 'pin', siteId, day: visit.day };
  return (
    <section class="change-part" aria-labelledby="pin">
      <h2 id="pin">{visit.isPinned ? 'It is pinned to its day' : 'Pin it to its day'}</h2>
      <p class="soft">
        {visit.isPinned
          ? 'Planning runs leave it there, whatever they find.'
          : 'Later planning runs then leave it there, whatever they find. The van and the hour stay open.'}
      </p>
      <ChangeForm planId={view.planId} change={change} newId={newId} breaks={false}>
        <button type="submit">{visit.isPinned ? 'Unpin it' : `Pin it to ${dayLong(visit.day)}`}</button>
      </ChangeForm>
    </section>
  );
};

/** Sends one change to be kept. */
export const ChangeForm = ({
  planId,
  change,
  newId,
  breaks,
  children,
}: {
  readonly planId: string;
  readonly change: Change;
  readonly newId: string;
  readonly breaks: boolean;
  readonly children: unknown;
}) => (
  <form method="post" action={`/plans/${planId}/changes`}>
    <input type="hidden" name="factId" value={newId} />
    {breaks && <input type="hidden" name="breaks" value="yes" />}
    {queryOfChange(change).map(([name, value]) => (
      <input type="hidden" name={name} value={value} />
    ))}
    {children}
  </form>
);
