/** The days on which we could come, the ones on our way marked: one press takes a day. */
import type { Slot } from '../../core/planning/quote.ts';
import type { Say } from '../messages/say.ts';
import { NBSP, time, timeSpan } from '../shared/format.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { telUri } from '../shared/uris.ts';
import type { OfferView } from './donor-view.ts';

const FRAME = { role: 'donor', here: '/donor', width: 'narrow' } as const;

type Props = {
  readonly say: Say;
  readonly view: OfferView;
  readonly factId: string;
  readonly notice?: Notice | undefined;
};

export const OfferPage = ({ say, view, factId, notice }: Props) => {
  const { workshop, asked, slots, expiresAt, siteName } = view;
  const words = say.booking;
  const title = slots.length === 0 ? words.noDayFits : words.chooseDay;
  return (
    <Page
      title={title}
      say={say}
      languagePath={`/donor/quotes/${view.quoteId}`}
      workshop={workshop.name}
      notice={notice}
      {...FRAME}
    >
      <p>
        <a href={view.editPath}>{words.changeAsked}</a>
      </p>
      <div>
        <p class="kicker">{siteName}</p>
        <h1>{title}</h1>
      </div>
      <p class="lead">{words.toBeFetched(asked, asked.fromAt, asked.untilAt, workshop.zone)}</p>
      {slots.length === 0 ? (
        <NothingFits say={say} view={view} factId={factId} />
      ) : (
        <>
          <p>{words.holdsUntil(time(expiresAt, workshop.zone))}</p>
          <ul class="offers">
            {[...slots].sort(byWay).map((slot) => (
              <OfferRow say={say} slot={slot} view={view} factId={factId} />
            ))}
          </ul>
          {view.isChange && <p class="hint">{words.staysAsItWas}</p>}
        </>
      )}
      <p>
        <a href="/donor">{say.donor.back}</a>
      </p>
    </Page>
  );
};

/** On our way first, then by time. */
const byWay = (a: Slot, b: Slot): number =>
  Number(b.isOnOurWay) - Number(a.isOnOurWay) || a.fromAt - b.fromAt;

const OfferRow = ({
  say,
  slot,
  view: { workshop, quoteId },
  factId,
}: {
  readonly say: Say;
  readonly slot: Slot;
  readonly view: OfferView;
  readonly factId: string;
}) => {
  const hours = timeSpan(slot.fromAt, slot.untilAt, workshop.zone);
  return (
    <li class={slot.isOnOurWay ? 'offer offer-way' : 'offer'}>
      <div>
        <strong class="offer-day">{say.f.dayLong(slot.day)}</strong>
        <span>{say.booking.between(hours, time(slot.startAt, workshop.zone))}</span>
        <span class="offer-cost">
          {slot.isOnOurWay && <span class="tag">{say.booking.onOurWay}</span>}{' '}
          {costWords(say, slot, workshop.currency)}
        </span>
      </div>
      <form method="post" action={`/donor/quotes/${quoteId}/take`}>
        <input type="hidden" name="factId" value={factId} />
        <input type="hidden" name="slotFromAt" value={String(slot.fromAt)} />
        <button class={slot.isOnOurWay ? 'primary' : undefined} type="submit">
          {say.booking.take}
          <span class="unseen">: {`${say.f.dayLong(slot.day)}, ${hours}`}</span>
        </button>
      </form>
    </li>
  );
};

function costWords({ f, booking }: Say, slot: Slot, currency: string): string {
  const { isComingAnyway, extraM, extraS, extraMicros } = slot;
  if (isComingAnyway) return booking.comingAnyway;
  return booking.costs(Math.max(0, extraM), Math.max(0, extraS), f.money(Math.max(0, extraMicros), currency));
}

const NothingFits = ({
  say: { booking: words },
  view: { workshop, quoteId },
  factId,
}: Omit<Props, 'notice'>) => {
  const tel = telUri(workshop.phone);
  return (
    <>
      <p>{words.noRoom}</p>
      <form method="post" action={`/donor/quotes/${quoteId}/wait`}>
        <input type="hidden" name="factId" value={factId} />
        <button class="primary" type="submit">
          {words.leave}
        </button>
        {tel && (
          <p class="hint">
            {words.urgent}
            {NBSP}
            <a href={tel}>{workshop.phone}</a>.
          </p>
        )}
      </form>
    </>
  );
};
