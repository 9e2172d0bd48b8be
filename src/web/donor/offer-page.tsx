/** The days on which we could come, the ones on our way marked: one press takes a day. */
import type { Slot } from '../../core/planning/quote.ts';
import { dayLong, duration, km, money, NBSP, time, timeSpan } from '../shared/format.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { telUri } from '../shared/uris.ts';
import { bookingWords } from './booking-list.tsx';
import type { OfferView } from './donor-view.ts';
import { windowWords } from './donor-words.ts';

const FRAME = { role: 'donor', here: '/donor', width: 'narrow' } as const;

type Props = { readonly view: OfferView; readonly factId: string; readonly notice?: Notice | undefined };

export const OfferPage = ({ view, factId, notice }: Props) => {
  const { workshop, asked, slots, expiresAt, siteName } = view;
  const title = slots.length === 0 ? 'No day fits yet' : 'Choose a day';
  return (
    <Page title={title} workshop={workshop.name} notice={notice} {...FRAME}>
      <p>
        <a href={view.editPath}>Change what you told us</a>
      </p>
      <div>
        <p class="kicker">{siteName}</p>
        <h1>{title}</h1>
      </div>
      <p class="lead">
        {bookingWords(asked)}, to be fetched {windowWords(asked.fromAt, asked.untilAt, workshop.zone)}.
      </p>
      {slots.length === 0 ? (
        <NothingFits view={view} factId={factId} />
      ) : (
        <>
          <p>
            These days hold for you until {time(expiresAt, workshop.zone)}, unless somebody takes the last
            room before. “On our way” costs the fewest kilometres.
          </p>
          <ul class="offers">
            {[...slots].sort(byWay).map((slot) => (
              <OfferRow slot={slot} view={view} factId={factId} />
            ))}
          </ul>
          {view.isChange && (
            <p class="hint">Until you choose, your collection stays as it was. “Back” keeps it.</p>
          )}
        </>
      )}
      <p>
        <a href="/donor">Back to your collections</a>
      </p>
    </Page>
  );
};

/** On our way first, then by time. */
const byWay = (a: Slot, b: Slot): number =>
  Number(b.isOnOurWay) - Number(a.isOnOurWay) || a.fromAt - b.fromAt;

const OfferRow = ({
  slot,
  view: { workshop, quoteId },
  factId,
}: {
  readonly slot: Slot;
  readonly view: OfferView;
  readonly factId: string;
}) => {
  const hours = timeSpan(slot.fromAt, slot.untilAt, workshop.zone);
  return (
    <li class={slot.isOnOurWay ? 'offer offer-way' : 'offer'}>
      <div>
        <strong class="offer-day">{dayLong(slot.day)}</strong>
        <span>
          between {hours}, as things stand about {time(slot.startAt, workshop.zone)}
        </span>
        <span class="offer-cost">
          {slot.isOnOurWay && <span class="tag">on our way</span>} {costWords(slot, workshop.currency)}
        </span>
      </div>
      <form method="post" action={`/donor/quotes/${quoteId}/take`}>
        <input type="hidden" name="factId" value={factId} />
        <input type="hidden" name="slotFromAt" value={String(slot.fromAt)} />
        <button class={slot.isOnOurWay ? 'primary' : undefined} type="submit">
          Take it<span class="unseen">: {`${dayLong(slot.day)}, ${hours}`}</span>
        </button>
      </form>
    </li>
  );
};

/** "5.9 km and 12 min more for us, EUR 5.95". */
function costWords({ isComingAnyway, extraM, extraS, extraMicros }: Slot, currency: string): string {
  if (isComingAnyway) return 'We call at your place on that day in any case.';
  return `${km(Math.max(0, extraM))} and ${duration(Math.max(0, extraS))} more for us, ${money(Math.max(0, extraMicros), currency)}.`;
}

const NothingFits = ({ view: { workshop, quoteId }, factId }: { view: OfferView; factId: string }) => {
  const tel = telUri(workshop.phone);
  return (
    <>
      <p>
        On these days our vans have no room or no time left. A wider span of days helps most: change what you
        told us. Or leave the request with us. We look for a way and write to you as soon as there is a day.
      </p>
      <form method="post" action={`/donor/quotes/${quoteId}/wait`}>
        <input type="hidden" name="factId" value={factId} />
        <button class="primary" type="submit">
          Leave the request
        </button>
        {tel && (
          <p class="hint">
            If it is urgent, call{NBSP}
            <a href={tel}>{workshop.phone}</a>.
          </p>
        )}
      </form>
    </>
  );
};
