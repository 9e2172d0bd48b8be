/** The donor's page: when we come next and why then, how full we think it is, and what to do if it is more. */
import type { Instant } from '../../core/quantity/units.ts';
import type { Say } from '../messages/say.ts';
import { localDay, machineTime, time } from '../shared/format.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { ruleWords } from '../shared/rule-words.ts';
import { telUri } from '../shared/uris.ts';
import { WhatItBecame } from './became.tsx';
import { BookingList } from './booking-list.tsx';
import { CalendarOffer } from './calendar-page.tsx';
import type { DonorSiteView, DonorView, DonorWorkshop } from './donor-view.ts';
import { HowFull } from './how-full.tsx';
import { People } from './people.tsx';

const FRAME = { role: 'donor', here: '/donor' } as const;

export type DonorPageProps = {
  readonly say: Say;
  readonly view: DonorView;
  /** A fresh id for each site's forms. */
  readonly newId: () => string;
  readonly notice?: Notice | undefined;
};

export const DonorPage = ({ say, view, newId, notice }: DonorPageProps) => {
  const { workshop, donorName, sites, became, people, nowAt } = view;
  const { donor, sorting } = say;
  return (
    <Page title={donor.title} say={say} workshop={workshop.name} notice={notice} {...FRAME}>
      <div>
        <p class="kicker">{donor.kicker(workshop.name)}</p>
        <h1>{donorName}</h1>
      </div>
      {sites.length > 1 && (
        <nav aria-label={donor.places}>
          <ul class="donor-places">
            {sites.map(({ siteId, name }) => (
              <li>
                <a href={`#site-${siteId}`}>{name}</a>
              </li>
            ))}
          </ul>
        </nav>
      )}
      {sites.length === 0 && <p class="lead">{donor.noPlaces}</p>}
      {sites.map((site) => (
        <SitePart
          say={say}
          site={site}
          workshop={workshop}
          nowAt={nowAt}
          isOnly={sites.length === 1}
          factId={newId()}
        />
      ))}
      <p class="donor-sorting">
        <a href="/donor/sorting">{sorting.link}</a>
      </p>
      <WhatItBecame say={say} became={became} nowMonth={localDay(nowAt, workshop.zone).slice(0, 7)} />
      {sites.length > 0 && <CalendarOffer say={say} />}
      <People say={say} people={people} zone={workshop.zone} />
    </Page>
  );
};

type PartProps = {
  readonly say: Say;
  readonly site: DonorSiteView;
  readonly workshop: DonorWorkshop;
  readonly nowAt: Instant;
};

const SitePart = ({
  say,
  site,
  workshop,
  nowAt,
  isOnly,
  factId,
}: PartProps & { readonly isOnly: boolean; readonly factId: string }) => {
  const { donor } = say;
  return (
    <section class="donor-site" id={`site-${site.siteId}`} aria-label={site.name}>
      {!isOnly && <h2 class="donor-name">{site.name}</h2>}
      {site.address !== '' && <p class="soft donor-address">{site.address}</p>}
      <div class="donor-extra">
        <div>
          <h3>{donor.extra.title}</h3>
          <p>{donor.extra.text}</p>
        </div>
        <a class="button primary" href={`/donor/sites/${site.siteId}/extra`}>
          {donor.extra.ask}
          <span class="unseen">{donor.at(site.name)}</span>
        </a>
      </div>
      <BookingList say={say} site={site} workshop={workshop} />
      <div class="donor-top">
        <NextVisit say={say} site={site} workshop={workshop} nowAt={nowAt} />
        <HowFull say={say} site={site} workshop={workshop} factId={factId} />
      </div>
      <Agreed say={say} site={site} zone={workshop.zone} />
    </section>
  );
};

const NextVisit = ({ say: { donor, f }, site, workshop: { zone, phone }, nowAt }: PartProps) => {
  const { next } = site;
  const coming = comingDate(site, nowAt);
  const tel = telUri(phone);
  return (
    <div class="donor-next">
      <h3>{donor.next}</h3>
      {next ? (
        <>
          <p class="donor-when">
            <time datetime={machineTime(next.startAt)}>
              {f.dayLong(next.day)}
              <span>{donor.about(time(next.startAt, zone))}</span>
            </time>
          </p>
          <p>{donor.whyThen(next.reason)}</p>
        </>
      ) : coming ? (
        <>
          <p class="donor-when">
            {f.dayLong(localDay(coming.fromAt, zone))}
            <span>{donor.fromUntil(time(coming.fromAt, zone), time(coming.untilAt, zone))}</span>
          </p>
          <p>{donor[coming.why]}</p>
        </>
      ) : (
        <p class="lead">{donor.noDay}</p>
      )}
      {tel && (
        <p class="hint">
          <a href={tel}>{donor.questions(phone)}</a>
        </p>
      )}
    </div>
  );
};

/** What is sure before a round is planned: a confirmed extra collection, or a day of the rule. */
function comingDate({ bookings, nextDates }: DonorSiteView, nowAt: Instant) {
  const dates = [
    ...bookings
      .filter(({ state, untilAt }) => state === 'confirmed' && untilAt > nowAt)
      .map(({ fromAt, untilAt }) => ({ fromAt, untilAt, why: 'bookedTime' as const })),
    ...nextDates.map(({ fromAt, untilAt, commitment }) => ({
      fromAt,
      untilAt,
      why: commitment === 'must' ? ('promisedTime' as const) : ('usualTime' as const),
    })),
  ];
  return dates.sort((a, b) => a.fromAt - b.fromAt)[0];
}

const Agreed = ({ say, site, zone }: Pick<PartProps, 'say' | 'site'> & { readonly zone: string }) => {
  const { donor, words, f } = say;
  return (
    <div class="donor-rules">
      <div>
        <h3>{donor.agreed.title}</h3>
        {site.rules.length === 0 ? (
          <p>{donor.agreed.none}</p>
        ) : (
          <ul class="plain">
            {site.rules.map((rule) => (
              <li>
                {ruleWords(rule, say)} <span class="soft">({words.commitment[rule.commitment]})</span>
              </li>
            ))}
          </ul>
        )}
        {site.closures.length > 0 && (
          <p class="soft">
            {donor.agreed.closed}: {site.closures.map(donor.agreed.shut).join('; ')}
          </p>
        )}
        <p>
          <a href={`/donor/sites/${site.siteId}/place`}>
            {donor.place.link}
            <span class="unseen">{donor.at(site.name)}</span>
          </a>
        </p>
      </div>
      {site.nextDates.length > 0 && (
        <div>
          <h3>{donor.agreed.dates}</h3>
          <ol class="plain">
            {site.nextDates.map(({ fromAt, untilAt }) => (
              <li>
                {f.dayShort(localDay(fromAt, zone))}{' '}
                <span class="soft">{donor.fromUntil(time(fromAt, zone), time(untilAt, zone))}</span>
              </li>
            ))}
          </ol>
        </div>
      )}
    </div>
  );
};
