/** What people asked for who are no donors yet: whom to call, and what there is. */
import type { PlaceRequest } from '../../store/place-requests.ts';
import { ago, dateTime, dayShort, number } from '../shared/format.ts';
import { telUri } from '../shared/uris.ts';
import { EVENT_WORDS } from '../shared/words.ts';

type Props = { readonly places: readonly PlaceRequest[]; readonly zone: string; readonly nowAt: number };

export const PlaceRequests = ({ places, zone, nowAt }: Props) =>
  places.length === 0 ? null : (
    <section aria-labelledby="new-places">
      <h2 id="new-places">From people who are no donors yet</h2>
      <p>Call or write to them. If you will come, put the place into the register as a one-off site.</p>
      <ul class="requests">
        {places.map((place) => (
          <li>
            <h3>{place.place}</h3>
            <p>
              {number(place.expectedBags)} {place.expectedBags === 1 ? 'bag' : 'bags'} (
              {EVENT_WORDS[place.eventKind]}, ends {dateTime(place.eventEndsAt, zone)}), until{' '}
              {dayShort(place.untilDay)}.{place.remarks !== '' && ` “${place.remarks}”`}
            </p>
            <p>
              {place.name}, <Contact text={place.contact} />,{' '}
              <span class="soft">asked {ago(place.requestedAt, nowAt)}</span>
            </p>
            <form method="post" action={`/requests/places/${place.id}/answered`}>
              <button type="submit">
                Answered<span class="unseen">: {place.name}</span>
              </button>
            </form>
          </li>
        ))}
      </ul>
    </section>
  );

const Contact = ({ text }: { readonly text: string }) => {
  if (/^[^@\s]+@[^@\s]+$/.test(text)) return <a href={`mailto:${text}`}>{text}</a>;
  const tel = telUri(text);
  return tel ? <a href={tel}>{text}</a> : <span>{text}</span>;
};
