/** A donor's own calendar: the form that makes its address, and the page that shows it once. */
import { MadeAddress } from '../shared/made-address.tsx';
import type { MadeLink } from '../shared/made-link.ts';
import { type Notice, Page } from '../shared/page.tsx';
import type { DonorWorkshop } from './donor-view.ts';

const FRAME = { role: 'donor', here: '/donor' } as const;

export const CalendarOffer = () => (
  <section class="donor-extra" aria-labelledby="calendar">
    <div>
      <h3 id="calendar">In your own calendar</h3>
      <p>
        A private address that your calendar program reads: our visits, moved or called off as plans change. A
        new address ends the one before.
      </p>
    </div>
    <form method="post" action="/donor/calendar">
      <button type="submit">Make a calendar address</button>
    </form>
  </section>
);

export const CalendarPage = ({
  made,
  workshop,
}: {
  readonly made: MadeLink;
  readonly workshop: DonorWorkshop;
}) => (
  <Page title="Your calendar" workshop={workshop.name} {...FRAME} width="narrow">
    <h1>Your calendar</h1>
    <MadeAddress made={made} zone={workshop.zone} />
    <p>
      In your calendar program, choose to subscribe to a calendar by its address, and paste this one. Whoever
      has it can read when we come to your places.
    </p>
    <form method="post" action="/donor/calendar/withdrawal" class="after">
      <p class="actions">
        <a class="button" href="/donor">
          Back to your collections
        </a>
        <button class="quiet" type="submit">
          Withdraw it again
        </button>
      </p>
    </form>
  </Page>
);

export const calendarNotice = (did: string | undefined): Notice | undefined =>
  did === 'calendar-withdrawn'
    ? { kind: 'done', text: 'Your calendar address was withdrawn. Nobody can read it any more.' }
    : undefined;
