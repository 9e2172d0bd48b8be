/** What a draft changes for those who were told another plan, in words, to be published or dropped. */
import { dangersWords, helpWords } from '../shared/danger-words.ts';
import { dateTime, dayLong, money, number } from '../shared/format.ts';
import type { Names } from '../shared/names.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { telUri } from '../shared/uris.ts';
import type { ChangesView, RequestsView, RequestView } from './changes-view.ts';
import { Differences } from './differences.tsx';
import { PlaceRequests } from './place-requests.tsx';

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
      <h2 id="what">{changedDaysWords(view.changedDays)}</h2>
      {view.differences.length === 0 ? (
        <p>Everybody is visited on the day and in the round that was told.</p>
      ) : (
        <Differences differences={view.differences} names={view.names} unkept={view.unkept} isTold />
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

export const changedDaysWords = (changedDays: number): string =>
  changedDays === 0
    ? 'Nobody’s day changes'
    : `${number(changedDays)} ${changedDays === 1 ? 'site has' : 'sites have'} another day`;

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
    <PlaceRequests places={view.places} zone={view.names.zone} nowAt={view.nowAt} />
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
