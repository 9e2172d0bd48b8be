/** The donor's page: when we come next and why then, how full we think it is, and what to do if it is more. */
import { dayLong, dayShort, kg, kgRange, localDay, machineTime, time } from '../shared/format.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { ruleWords } from '../shared/rule-words.ts';
import { COMMITMENT_WORDS } from '../shared/words.ts';
import { BookingList } from './booking-list.tsx';
import { CalendarOffer } from './calendar-page.tsx';
import type { DonorSiteView, DonorView, DonorWorkshop } from './donor-view.ts';
import { bagsOf, bagsRange, fullness, restsOn, whyThen } from './donor-words.ts';
import { FillPicture } from './fill-picture.tsx';
import { MonthTable } from './month-table.tsx';

const FRAME = { role: 'donor', here: '/donor' } as const;

export type DonorPageProps = {
  readonly view: DonorView;
  /** A fresh id for each site's "it is full" form. */
  readonly newId: () => string;
  readonly notice?: Notice | undefined;
};

export const DonorPage = ({ view, newId, notice }: DonorPageProps) => {
  const { workshop, donorName, sites } = view;
  return (
    <Page title="Your collections" workshop={workshop.name} notice={notice} {...FRAME}>
      <div>
        <p class="kicker">{workshop.name} collects your soft plastic film</p>
        <h1>{donorName}</h1>
      </div>
      {sites.length > 1 && (
        <nav aria-label="Your places">
          <ul class="donor-places">
            {sites.map(({ siteId, name }) => (
              <li>
                <a href={`#site-${siteId}`}>{name}</a>
              </li>
            ))}
          </ul>
        </nav>
      )}
      {sites.length === 0 && (
        <p class="lead">
          None of your places is on our list at the moment. Call the workshop to be put on it.
        </p>
      )}
      {sites.map((site) => (
        <SitePart site={site} view={view} isOnly={sites.length === 1} factId={newId()} />
      ))}
      {sites.length > 0 && <CalendarOffer />}
    </Page>
  );
};

const SitePart = ({
  site,
  view,
  isOnly,
  factId,
}: {
  readonly site: DonorSiteView;
  readonly view: DonorView;
  readonly isOnly: boolean;
  readonly factId: string;
}) => {
  const { workshop, nowAt } = view;
  return (
    <section class="donor-site" id={`site-${site.siteId}`} aria-label={site.name}>
      {!isOnly && <h2 class="donor-name">{site.name}</h2>}
      {site.address !== '' && <p class="soft donor-address">{site.address}</p>}
      <div class="donor-top">
        <NextVisit site={site} workshop={workshop} />
        <HowFull site={site} workshop={workshop} factId={factId} />
      </div>
      <div class="donor-extra">
        <div>
          <h3>More than usual?</h3>
          <p>After a festival, a delivery or a clear-out we come for it separately.</p>
        </div>
        <a class="button primary" href={`/donor/sites/${site.siteId}/extra`}>
          Ask for an extra collection<span class="unseen"> at {site.name}</span>
        </a>
      </div>
      <BookingList bookings={site.bookings} workshop={workshop} />
      <Rules site={site} zone={workshop.zone} />
      <MonthTable months={site.months} nowMonth={localDay(nowAt, workshop.zone).slice(0, 7)} />
    </section>
  );
};

const NextVisit = ({
  site: { next, nextDates },
  workshop: { zone, phone },
}: {
  readonly site: DonorSiteView;
  readonly workshop: DonorWorkshop;
}) => {
  const coming = nextDates[0];
  return (
    <div class="donor-next">
      <h3>We come next</h3>
      {next ? (
        <>
          <p class="donor-when">
            <time datetime={machineTime(next.startAt)}>
              {dayLong(next.day)}
              <span>about {time(next.startAt, zone)}</span>
            </time>
          </p>
          <p>{whyThen(next.reason)}</p>
        </>
      ) : coming ? (
        <>
          <p class="donor-when">
            {dayLong(localDay(coming.fromAt, zone))}
            <span>
              {time(coming.fromAt, zone)} to {time(coming.untilAt, zone)}
            </span>
          </p>
          <p>
            {coming.commitment === 'must'
              ? 'That is the time we promised you. The hour follows when the round is planned.'
              : 'That is your usual day. It may still move when the round is planned.'}
          </p>
        </>
      ) : (
        <p class="lead">
          No day is fixed yet. We come when enough is waiting, or before it overflows.
          {phone !== '' && ` Questions: ${phone}.`}
        </p>
      )}
    </div>
  );
};

const HowFull = ({
  site,
  workshop: { zone },
  factId,
}: {
  readonly site: DonorSiteView;
  readonly workshop: DonorWorkshop;
  readonly factId: string;
}) => {
  const { fill, lastPickup } = site;
  return (
    <div class="donor-full">
      <h3>How full we think it is</h3>
      <div class="donor-full-both">
        <FillPicture fill={fill} />
        <div>
          <p class="donor-fullness">{fullness(fill.medianKg / fill.capacityKg)}</p>
          <p>
            About <b>{bagsOf(fill.medianKg, fill.bagKg)}</b> ({bagsRange(fill)}), {kg(fill.medianKg)} (
            {kgRange(fill.lowKg, fill.highKg)}). Four times in five it lies in that range.
          </p>
          {fill.fullAt !== undefined && <p>Probably full by {dayShort(localDay(fill.fullAt, zone))}.</p>}
          <p class="hint">{restsOn(fill, lastPickup, zone)}</p>
        </div>
      </div>
      {fill.saidFullAt === undefined ? (
        <form method="post" action={`/donor/sites/${site.siteId}/full`}>
          <input type="hidden" name="factId" value={factId} />
          <button type="submit">
            It is full<span class="unseen"> at {site.name}</span>
          </button>
          <p class="hint">One press tells us. We then look whether we can come sooner.</p>
        </form>
      ) : (
        <p class="donor-said">
          You told us that it is full, {dayShort(localDay(fill.saidFullAt, zone))} at{' '}
          {time(fill.saidFullAt, zone)}. The next plan counts on it.
        </p>
      )}
    </div>
  );
};

const Rules = ({ site, zone }: { readonly site: DonorSiteView; readonly zone: string }) => (
  <div class="donor-rules">
    <div>
      <h3>What we agreed</h3>
      {site.rules.length === 0 ? (
        <p>No fixed days: we come when it is worth the drive, and before it overflows.</p>
      ) : (
        <ul class="plain">
          {site.rules.map((rule) => (
            <li>
              {ruleWords(rule)} <span class="soft">({COMMITMENT_WORDS[rule.commitment]})</span>
            </li>
          ))}
        </ul>
      )}
      {site.closures.length > 0 && (
        <p class="soft">
          Closed:{' '}
          {site.closures
            .map(
              ({ fromDay, untilDay, reason }) =>
                `${fromDay === untilDay ? dayShort(fromDay) : `${dayShort(fromDay)} to ${dayShort(untilDay)}`}${reason === '' ? '' : ` (${reason})`}`,
            )
            .join('; ')}
        </p>
      )}
    </div>
    {site.nextDates.length > 0 && (
      <div>
        <h3>The next dates</h3>
        <ol class="plain">
          {site.nextDates.map(({ fromAt, untilAt }) => (
            <li>
              {dayShort(localDay(fromAt, zone))}{' '}
              <span class="soft">
                {time(fromAt, zone)} to {time(untilAt, zone)}
              </span>
            </li>
          ))}
        </ol>
      </div>
    )}
  </div>
);
