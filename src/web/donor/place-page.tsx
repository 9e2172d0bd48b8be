/** One place of a donor's own: days closed, access, contact. */
import type { Say } from '../messages/say.ts';
import { TextField } from '../shared/controls.tsx';
import type { FieldErrors, Typed } from '../shared/form.ts';
import { Field, type Notice, Page } from '../shared/page.tsx';
import type { DonorSiteView, DonorView } from './donor-view.ts';

export type PlacePageProps = {
  readonly say: Say;
  readonly view: DonorView;
  readonly site: DonorSiteView;
  readonly typed: Typed;
  readonly errors: FieldErrors;
  readonly notice?: Notice | undefined;
};

export const PlacePage = ({ say, view: { workshop }, site, typed, errors, notice }: PlacePageProps) => {
  const { donor } = say;
  const { place } = donor;
  const path = `/donor/sites/${site.siteId}`;
  const at = (name: string) => ({ name, typed: typed[name], error: errors[name] });
  const frame = { role: 'donor', here: '/donor', width: 'narrow', languagePath: `${path}/place` } as const;
  return (
    <Page title={place.open} say={say} workshop={workshop.name} notice={notice} {...frame}>
      <p>
        <a href="/donor">{donor.back}</a>
      </p>
      <div>
        <p class="kicker">{site.name}</p>
        <h1>{place.open}</h1>
      </div>
      <section class="place-part" aria-labelledby="pause">
        <h2 id="pause">{place.pause}</h2>
        <p>{place.pauseText}</p>
        <Pauses say={say} site={site} path={path} />
        <form class="donor-form" method="post" action={`${path}/pauses`} novalidate>
          <div class="donor-days">
            <Field label={place.from} type="date" {...at('fromDay')} />
            <Field label={place.until} type="date" {...at('untilDay')} />
          </div>
          <Field label={place.reason} {...at('reason')} />
          <button type="submit">{place.pauseNow}</button>
        </form>
      </section>
      <section class="place-part" aria-labelledby="contact">
        <h2 id="contact">
          {place.access}, {place.contact}
        </h2>
        <form class="donor-form" method="post" action={`${path}/contact`} novalidate>
          <TextField label={place.access} hint={place.accessText} rows={3} {...at('accessNotes')} />
          <Field label={place.contactName} autocomplete="name" {...at('name')} />
          <Field label={place.phone} type="tel" autocomplete="tel" {...at('phone')} />
          <Field
            label={place.email}
            hint={place.emailHint}
            type="email"
            autocomplete="email"
            {...at('email')}
          />
          <button class="primary" type="submit">
            {place.keep}
          </button>
        </form>
      </section>
    </Page>
  );
};

const Pauses = ({
  say: { donor },
  site,
  path,
}: {
  readonly say: Say;
  readonly site: DonorSiteView;
  readonly path: string;
}) => (
  <>
    <h3>{donor.place.pauses}</h3>
    {site.closures.length === 0 ? (
      <p class="soft">{donor.place.noPauses}</p>
    ) : (
      <ul class="donor-bookings">
        {site.closures.map((closure) => (
          <li>
            <span>{donor.agreed.shut(closure)}</span>
            <form method="post" action={`${path}/pauses/withdrawal`}>
              <input type="hidden" name="fromDay" value={closure.fromDay} />
              <input type="hidden" name="untilDay" value={closure.untilDay} />
              <button class="quiet" type="submit">
                {donor.place.takeBack}
                <span class="unseen">: {donor.agreed.shut(closure)}</span>
              </button>
            </form>
          </li>
        ))}
      </ul>
    )}
  </>
);
