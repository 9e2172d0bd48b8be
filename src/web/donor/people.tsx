/** Whose private links open this page, each to be ended alone. */
import type { Say } from '../messages/say.ts';
import { localDay } from '../shared/format.ts';
import type { DonorPerson } from './donor-view.ts';

type Props = { readonly say: Say; readonly people: readonly DonorPerson[]; readonly zone: string };

export const People = ({ say: { donor }, people, zone }: Props) =>
  people.length === 0 ? null : (
    <section class="donor-people" aria-labelledby="people">
      <h2 id="people">{donor.people.title}</h2>
      <p>{donor.people.text}</p>
      <ul class="donor-bookings">
        {people.map(({ hash, label, createdAt, expiresAt }) => (
          <li>
            <span class="donor-state">{label}</span>
            <span class="soft">
              {donor.people.since(localDay(createdAt, zone))}, {donor.people.until(localDay(expiresAt, zone))}
            </span>
            <form method="post" action="/donor/links/end">
              <input type="hidden" name="hash" value={hash} />
              <button class="quiet" type="submit">
                {donor.people.end}
                <span class="unseen">: {label}</span>
              </button>
            </form>
          </li>
        ))}
      </ul>
      <p class="hint">{donor.people.more}</p>
    </section>
  );
