/** Private links of drivers and donors: make one, see who holds one, withdraw it. */

import type { Role } from '../../core/vocabulary.ts';
import { SelectField } from '../shared/controls.tsx';
import { dateTime, dayYear, localDay } from '../shared/format.ts';
import { MadeAddress } from '../shared/made-address.tsx';
import type { MadeLink } from '../shared/made-link.ts';
import { Field, type Notice, Page } from '../shared/page.tsx';
import type { LinkRow, LinksView } from './links-view.ts';

const FRAME = { role: 'coordinator', here: '/links' } as const;
const ROLE_WORDS: { readonly [role in Role | 'van']: string } = {
  coordinator: 'coordinator',
  driver: 'driver',
  donor: 'donor',
  van: 'van',
};

type LinksProps = {
  readonly view: LinksView;
  readonly notice?: Notice | undefined;
  readonly error?: { readonly field: 'driver' | 'donor' | 'calendar'; readonly sentence: string };
};

export const LinksPage = ({ view, notice, error }: LinksProps) => (
  <Page title="Private links" live={false} workshop={view.workshop.name} notice={notice} {...FRAME}>
    <h1>Private links</h1>
    <p class="lead">
      A link is a key: whoever holds it comes in. Send it to one person only, and withdraw it when a phone is
      lost.
    </p>
    <div class="two">
      <NewLink
        who="driver"
        heading="For a driver"
        people={view.drivers}
        none="No drivers yet: npx feedround import drivers FILE"
        error={error?.field === 'driver' ? error.sentence : undefined}
      />
      <NewLink
        who="donor"
        heading="For a donor"
        people={view.donors}
        none="No donors yet: npx feedround import sites FILE"
        error={error?.field === 'donor' ? error.sentence : undefined}
      />
    </div>
    <p>
      For a shared phone, or a driver who comes once: <a href="/links/shift">a link for one shift only</a>.
    </p>
    <NewCalendar view={view} error={error?.field === 'calendar' ? error.sentence : undefined} />
    <h2>Links that were made</h2>
    <LinkTable view={view} links={view.links.filter((link) => isOpen(link, view))} />
    <EndedLinks view={view} />
  </Page>
);

type NewLinkProps = {
  readonly who: 'driver' | 'donor';
  readonly heading: string;
  readonly people: LinksView['drivers'];
  readonly none: string;
  readonly error?: string | undefined;
};

const NewLink = ({ who, heading, people, none, error }: NewLinkProps) => (
  <section>
    <h2>{heading}</h2>
    {people.length === 0 ? (
      <p class="after">{none}</p>
    ) : (
      <form method="post" action="/links" class="after">
        <input type="hidden" name="role" value={who} />
        <SelectField
          name={who}
          label="Who"
          empty="Choose a name"
          options={people.map(({ id, name }) => ({ value: id, label: name }))}
          error={error}
        />
        {who === 'donor' && (
          <Field
            name="person"
            label="For whom there"
            hint="One link a person: then each can be withdrawn alone. Empty for the donor as a whole."
            autocomplete="off"
          />
        )}
        <p class="actions after">
          <button type="submit">Make a private link</button>
        </p>
      </form>
    )}
  </section>
);

/** One list of everybody: what a calendar shows follows from whose it is. */
const NewCalendar = ({ view, error }: { readonly view: LinksView; readonly error?: string | undefined }) => {
  const kinds = { driver: view.drivers, van: view.vans, donor: view.donors };
  const options = Object.entries(kinds).flatMap(([of, people]) =>
    people.map(({ id, name }) => ({ value: `${of}:${id}`, label: `${name} (${of})` })),
  );
  if (options.length === 0) return null;
  return (
    <section class="links-calendar">
      <h2>For a calendar</h2>
      <p class="after">
        A calendar program reads the planned visits from a private address and keeps itself up to date. It
        opens the calendar and nothing else. A new address ends the one before.
      </p>
      <form method="post" action="/links/calendar" class="after">
        <SelectField
          name="whose"
          label="Whose calendar"
          empty="Choose a name"
          options={options}
          error={error}
        />
        <p class="actions after">
          <button type="submit">Make a calendar address</button>
        </p>
      </form>
    </section>
  );
};

const isOpen = (link: LinkRow, { nowAt }: LinksView): boolean =>
  link.revokedAt === undefined && link.expiresAt > nowAt;

const EndedLinks = ({ view }: { readonly view: LinksView }) => {
  const ended = view.links.filter((link) => !isOpen(link, view));
  return ended.length === 0 ? null : (
    <details>
      <summary>
        {ended.length === 1 ? 'One opens nothing any more' : `${ended.length} open nothing any more`}
      </summary>
      <LinkTable view={view} links={ended} />
    </details>
  );
};

const LinkTable = ({ view, links }: { readonly view: LinksView; readonly links: readonly LinkRow[] }) =>
  links.length === 0 ? (
    <p>No link is open.</p>
  ) : (
    <section class="scroll" aria-label="Private links" tabindex={0}>
      <table>
        <thead>
          <tr>
            <th scope="col">Who</th>
            <th scope="col">Made</th>
            <th scope="col">Good until</th>
            <th scope="col">
              <span class="unseen">Withdraw</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {links.map((link) => (
            <tr>
              <td>
                {link.label}{' '}
                <span class="soft">
                  ({ROLE_WORDS[link.role]}
                  {link.opens === 'calendar' && ', calendar only'})
                </span>
              </td>
              <td>{dateTime(link.createdAt, view.workshop.zone)}</td>
              <td>{stateOf(link, view)}</td>
              <td>
                {isOpen(link, view) && (
                  <form method="post" action="/links/withdraw">
                    <input type="hidden" name="hash" value={link.hash} />
                    <button type="submit" class="quiet">
                      Withdraw<span class="unseen"> the link of {link.label}</span>
                    </button>
                  </form>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );

function stateOf(link: LinkRow, { nowAt, workshop }: LinksView): string {
  // A coordinator's is ended by its use.
  const how = link.role === 'coordinator' ? 'used or withdrawn' : 'withdrawn';
  if (link.revokedAt !== undefined) return `${how} ${dateTime(link.revokedAt, workshop.zone)}`;
  const day = dayYear(localDay(link.expiresAt, workshop.zone));
  return link.expiresAt <= nowAt ? `ended ${day}` : day;
}

/** The only time a link's address is shown. */
export const MadeLinkPage = ({
  made,
  workshop,
}: {
  readonly made: MadeLink;
  readonly workshop: LinksView['workshop'];
}) => (
  <Page title="A new private link" workshop={workshop.name} {...FRAME} width="narrow">
    <h1>A link for {made.label}</h1>
    <MadeAddress made={made} zone={workshop.zone} />
    <p>
      It can be opened as often as needed, on any device of theirs. It belongs to {made.label} alone; under{' '}
      <a href="/links">Links</a> you can withdraw it.
    </p>
  </Page>
);

export const MadeCalendarPage = ({
  made,
  workshop,
}: {
  readonly made: MadeLink;
  readonly workshop: LinksView['workshop'];
}) => (
  <Page title="A new calendar address" workshop={workshop.name} {...FRAME} width="narrow">
    <h1>A calendar for {made.label}</h1>
    <MadeAddress made={made} zone={workshop.zone} />
    <p>
      In a calendar program, choose to subscribe to a calendar by its address. An earlier calendar address of{' '}
      {made.label} has ended; under <a href="/links">Links</a> you can withdraw this one.
    </p>
  </Page>
);
