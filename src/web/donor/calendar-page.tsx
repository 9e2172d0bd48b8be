/** A donor's own calendar: the form that makes its address, and the page that shows it once. */
import type { Say } from '../messages/say.ts';
import { localDay } from '../shared/format.ts';
import type { MadeLink } from '../shared/made-link.ts';
import { Page } from '../shared/page.tsx';
import type { DonorWorkshop } from './donor-view.ts';

const FRAME = { role: 'donor', here: '/donor', languagePath: '/donor' } as const;

export const CalendarOffer = ({ say: { donor } }: { readonly say: Say }) => (
  <section class="donor-extra" aria-labelledby="calendar">
    <div>
      <h3 id="calendar">{donor.calendar.title}</h3>
      <p>{donor.calendar.text}</p>
    </div>
    <form method="post" action="/donor/calendar">
      <button type="submit">{donor.calendar.make}</button>
    </form>
  </section>
);

type Props = { readonly say: Say; readonly made: MadeLink; readonly workshop: DonorWorkshop };
export const CalendarPage = ({ say, made, workshop }: Props) => {
  const { calendar, back } = say.donor;
  return (
    <Page title={calendar.page} say={say} workshop={workshop.name} {...FRAME} width="narrow">
      <h1>{calendar.page}</h1>
      <p class="lead">{calendar.shownOnce}</p>
      <p class="made-link">
        <code>{made.url}</code>
      </p>
      <p>{calendar.goodUntil(localDay(made.expiresAt, workshop.zone))}</p>
      <p>{calendar.how}</p>
      <form method="post" action="/donor/calendar/withdrawal" class="after">
        <p class="actions">
          <a class="button" href="/donor">
            {back}
          </a>
          <button class="quiet" type="submit">
            {calendar.withdraw}
          </button>
        </p>
      </form>
    </Page>
  );
};
