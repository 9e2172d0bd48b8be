/** What a draft changes for those who were told another plan, in words, to be published or dropped. */
import type { Difference, Visit } from '../../core/planning/compare-plans.ts';
import type { UnkeptPromise } from '../../core/planning/plan.ts';
import type { LocalDay } from '../../core/quantity/units.ts';
import { dangersWords, helpWords } from '../shared/danger-words.ts';
import { dateTime, dayLong, money, number, time } from '../shared/format.ts';
import type { Names } from '../shared/names.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { telUri } from '../shared/uris.ts';
import { leftOut, stopConsequence, stopReason, unkeptPromise } from '../shared/words.ts';
import type { ChangesView, RequestsView, RequestView } from './changes-view.ts';

const FRAME = { role: 'coordinator', here: '/week', width: 'page' } as const;

export const ChangesPage = ({ view, notice }: { view: ChangesView; notice?: Notice | undefined }) => (
  <Page title="What a draft changes" workshop={view.names.workshop} notice={notice} {...FRAME}>
    <p>
      <a href={`/week?plan=${view.planId}`}>See the draft on the week sheet</a>
    </p>
    <h1>What this draft changes</h1>
    {view.dangers.length > 0 && (
      <section aria-labelledby="why">
        <h2 id="why">Why it was made</h2>
        <ul class="changes-why">
          {view.dangers.map((danger) => (
            <li>{dangersWords([danger], view.names)}</li>
          ))}
        </ul>
      </section>
    )}
    <section aria-labelledby="what">
      <h2 id="what">{summary(view)}</h2>
      {view.differences.length === 0 ? (
        <p>Everybody is visited on the day and in the round that was told.</p>
      ) : (
        <>
          <Differences of={view.differences.filter(isOfDays)} view={view} />
          <OtherHours of={view.differences.filter((one) => !isOfDays(one))} view={view} />
        </>
      )}
      <p class="soft">
        Each reckoned on the facts of its own moment, the published plan cost{' '}
        {money(view.toldMicros, view.names.currency)}, the draft{' '}
        {money(view.draftMicros, view.names.currency)}.
      </p>
    </section>
    {view.isDraft && (
      <div class="actions on-screen">
        <form method="post" action={`/plans/${view.planId}/publish`}>
          <button class="primary" type="submit">
            Publish the draft
          </button>
        </form>
        <form method="post" action={`/plans/${view.planId}/drop`}>
          <button type="submit">Drop it, keep what was told</button>
        </form>
      </div>
    )}
  </Page>
);

const summary = ({ changedDays }: ChangesView): string =>
  changedDays === 0
    ? 'Nobody’s day changes'
    : `${number(changedDays)} ${changedDays === 1 ? 'site has' : 'sites have'} another day`;

/** Whoever is visited on the same day need only be told where the hour matters. */
const isOfDays = ({ kind }: Difference): boolean => kind !== 'another-round' && kind !== 'another-hour';
const dayOf = (difference: Difference): LocalDay =>
  difference.kind === 'added' ? difference.to.day : difference.from.day;

type Shown = { readonly of: readonly Difference[]; readonly view: ChangesView };

const Differences = ({ of, view }: Shown) => (
  <>
    {[...Map.groupBy(of, dayOf)].map(([day, differences]) => (
      <section class="changes-day">
        <h3>{dayLong(day)}</h3>
        <ul class="changes">
          {differences.map((difference) => {
            const { what, why } = differenceWords(difference, view);
            return (
              <li>
                <a href={`/sites/${difference.siteId}`}>{view.names.of('site', difference.siteId)}</a> {what}
                {why !== '' && <span class="soft"> {why}</span>}
              </li>
            );
          })}
        </ul>
      </section>
    ))}
  </>
);

const OtherHours = ({ of, view }: Shown) =>
  of.length === 0 ? null : (
    <details class="changes-hours" open={!view.differences.some(isOfDays)}>
      <summary>
        {of.length === 1
          ? 'One more is visited on its day at another time'
          : `${number(of.length)} more are visited on their day at another time`}
      </summary>
      <Differences of={of} view={view} />
    </details>
  );

const sentence = (text: string): string => (text.endsWith('.') ? text : `${text}.`);

function brokenWords(promise: UnkeptPromise, locale: Parameters<typeof unkeptPromise>[1]): string {
  const { what, mend } = unkeptPromise(promise, locale);
  return `${sentence(what)} ${sentence(mend)}`;
}

/** What becomes of a site that was told something else on that day, and why. */
function differenceWords(
  difference: Difference,
  { names, unkept }: ChangesView,
): { readonly what: string; readonly why: string } {
  const locale = { zone: names.zone, currency: names.currency };
  const at = ({ startAt }: Visit): string => time(startAt, names.zone);
  const { siteId, reason, leftOut: left } = difference;
  const promise = unkept.find((one) => one.siteId === siteId);
  const why = reason
    ? `${sentence(stopReason(reason, locale))} ${stopConsequence(reason, locale)}`
    : left
      ? sentence(leftOut(left, locale))
      : promise
        ? brokenWords(promise, locale)
        : '';
  switch (difference.kind) {
    case 'moved':
      return {
        what: `was told this day and moves to ${dayLong(difference.to.day)}, ${at(difference.to)}.`,
        why,
      };
    case 'dropped':
      return { what: 'was told this day and is not visited.', why };
    case 'added':
      return { what: `is visited, ${at(difference.to)}.`, why };
    case 'another-round':
      return {
        what: `is visited by another round, ${at(difference.to)} instead of ${at(difference.from)}.`,
        why: '',
      };
    case 'another-hour':
      return { what: `is visited at ${at(difference.to)} instead of ${at(difference.from)}.`, why: '' };
  }
}

export const RequestsPage = ({ view }: { readonly view: RequestsView }) => (
  <Page title="Requests without a day" workshop={view.names.workshop} {...FRAME}>
    <p>
      <a href="/week">To the week sheet</a>
    </p>
    <h1>Requests without a day</h1>
    <p class="lead">Extra collections that were asked for and fit into no round as things stand.</p>
    {view.requests.length === 0 ? (
      <p>Every extra collection that was asked for has a day.</p>
    ) : (
      <ul class="requests">
        {view.requests.map(
          ({ siteId, fromAt, untilAt, expectedBags, remarks, contact, possibleDay, helps }) => (
            <li>
              <h2>
                <a href={`/sites/${siteId}`}>{view.names.of('site', siteId)}</a>
              </h2>
              <p>
                {number(expectedBags)} {expectedBags === 1 ? 'bag' : 'bags'}, between{' '}
                {dateTime(fromAt, view.names.zone)} and {dateTime(untilAt, view.names.zone)}.
                {remarks !== '' && ` “${remarks}”`}
              </p>
              {contact && (
                <p>
                  {contact.name} <a href={telUri(contact.phone)}>{contact.phone}</a>
                </p>
              )}
              <WhatHelps possibleDay={possibleDay} helps={helps} names={view.names} />
            </li>
          ),
        )}
      </ul>
    )}
  </Page>
);

const WhatHelps = ({
  possibleDay,
  helps,
  names,
}: Pick<RequestView, 'possibleDay' | 'helps'> & { names: Names }) =>
  possibleDay !== undefined ? (
    <p>By now {dayLong(possibleDay)} is possible. Plan the week again, or ask the donor to choose a day.</p>
  ) : helps.length === 0 ? (
    <p>
      One thing alone does not make it possible on the days that have shifts. Call the donor, or plan the week
      anew.
    </p>
  ) : (
    <>
      <p>Any one of these makes it possible:</p>
      <ul>
        {helps.map((help) => (
          <li>{helpWords(help, names)}</li>
        ))}
      </ul>
    </>
  );
