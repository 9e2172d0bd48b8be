/** One site: how full, how we know, what was found, what was promised, whom to ask. */
import {
  dateTime,
  dayShort,
  dayYearShort,
  duration,
  kg,
  kgRange,
  litres,
  localDay,
  number,
  percent,
  timeSpan,
} from '../shared/format.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { ruleWords } from '../shared/rule-words.ts';
import {
  BOOKING_WORDS,
  COMMITMENT_WORDS,
  callsWords,
  containers,
  fillBasis,
  fillNow,
  fullWords,
  gradeName,
  hoursWords,
  METHOD_WORDS,
  movedWords,
  SITE_KIND_WORDS,
} from '../shared/words.ts';
import { DoubtList } from './doubts.tsx';
import { FillHistory } from './fill-history.tsx';
import type { SiteView, SiteWeighIn } from './site-view.ts';

const FRAME = { role: 'coordinator', here: '/sites' } as const;
const WEIGH_INS_SHOWN = 12;

type SiteProps = { readonly view: SiteView; readonly notice?: Notice | undefined };

export const SitePage = ({ view, notice }: SiteProps) => (
  <Page
    title={view.name}
    workshop={view.workshop.name}
    notice={notice}
    live={{ about: `site:${view.siteId}` }}
    {...FRAME}
  >
    <p class="kicker">
      <a href="/sites">Sites</a> · {SITE_KIND_WORDS[view.kind]}
      {view.district && `, ${view.district}`}
    </p>
    <h1>{view.name}</h1>
    <FillSentence view={view} />
    <DoubtList doubts={view.doubts} zone={view.workshop.zone} nowAt={view.nowAt} isOneSite />
    <FillHistory view={view} />
    <p class="small">
      <a href={`/backtest#site-${view.siteId}`}>How good the estimates were here and elsewhere</a>
    </p>
    <div class="two">
      <div>
        <h2>Promises and habits</h2>
        <Rules view={view} />
        <h2>Weigh-ins</h2>
        <WeighIns view={view} />
      </div>
      <div>
        <h2>The place</h2>
        <Place view={view} />
        <h2>The donor’s own page</h2>
        <p>
          {view.donorName} can see when we come next, say that it is full and ask for an extra collection,
          behind a private link.
        </p>
        <form method="post" action={`/donors/${view.donorId}/link`} class="after on-screen">
          <button type="submit">Make a private link</button>
        </form>
        <p class="hint">It is shown once. Earlier links keep working until you withdraw them under Links.</p>
      </div>
    </div>
  </Page>
);

const FillSentence = ({ view }: { readonly view: SiteView }) => {
  const now = view.forecast.find((point) => point.at >= view.nowAt) ?? view.forecast.at(-1);
  const { basis, kgPerWeek, bagKg, nowAt, capacityKg, overflowRisk, riskDay, explanation } = view;
  return (
    <>
      {now && (
        <p class="lead">
          {fillNow({
            medianKg: now.q50,
            lowKg: now.q10,
            highKg: now.q90,
            capacityKg,
            overflowRisk,
            untilDay: riskDay,
          })}
        </p>
      )}
      <p class="soft">
        {fillBasis({ basis, kgPerWeek, bagKg, nowAt })}{' '}
        {view.nextVisit ? (
          <>
            Next visit{' '}
            <a href={`/rounds/${view.nextVisit.roundId}`}>
              {dateTime(view.nextVisit.at, view.workshop.zone)}
            </a>
            .
          </>
        ) : (
          'No visit is planned.'
        )}{' '}
        <a class="on-screen" href={`/sites/${view.siteId}/visit`}>
          {view.nextVisit ? 'Change when it is visited' : 'Why not, and what a visit would cost'}
        </a>
      </p>
      <p class="soft">
        {fullWords(explanation.fullInDays, nowAt, view.workshop.zone)} {lastMoved(view)}
      </p>
    </>
  );
};

/** Last weigh-in against what was expected, then what else moved the estimate, latest first. */
const MOVES_SAID = 3;
function lastMoved({ weighIns, explanation, workshop: { zone } }: SiteView): string {
  const last = weighIns[0];
  const weighed =
    last?.expected === undefined
      ? undefined
      : `the last weigh-in brought ${kg(last.expected.kg)}, with ${kgRange(last.expected.lowKg, last.expected.highKg)} expected`;
  const moves = explanation.moved.slice(0, MOVES_SAID).map((one) => movedWords(one, zone));
  const all = [...(weighed === undefined ? [] : [weighed]), ...moves];
  return all.length === 0 ? '' : `What moved it last: ${all.join('; ')}.`;
}

const Rules = ({ view: { rules, bookings, workshop } }: { readonly view: SiteView }) =>
  rules.length === 0 && bookings.length === 0 ? (
    <p class="after">Nothing is promised here: the plan visits when it is worth it.</p>
  ) : (
    <div class="after stack">
      {rules.map(({ rule, next }) => (
        <div>
          <p>
            <strong>{ruleWords(rule)}</strong> ({COMMITMENT_WORDS[rule.commitment]})
          </p>
          <p class="small soft">
            {next.length === 0
              ? 'No date ahead.'
              : `Next: ${next.map(({ fromAt }) => dayShort(localDay(fromAt, workshop.zone))).join(', ')}.`}
          </p>
        </div>
      ))}
      {bookings.map(({ fromAt, untilAt, state, remarks }) => (
        <p>
          <strong>
            Extra collection, {dayShort(localDay(fromAt, workshop.zone))},{' '}
            {timeSpan(fromAt, untilAt, workshop.zone)}
          </strong>{' '}
          ({BOOKING_WORDS[state]}){remarks && `: ${remarks}`}
        </p>
      ))}
    </div>
  );

const WeighIns = ({ view }: { readonly view: SiteView }) => {
  const { weighIns, workshop } = view;
  if (weighIns.length === 0)
    return (
      <p class="after">
        None yet. They come from drivers’ run sheets, or all at once:{' '}
        <code>npx feedround import weigh-ins FILE</code>
      </p>
    );
  return (
    <>
      <WeighInTable rows={weighIns.slice(0, WEIGH_INS_SHOWN)} zone={workshop.zone} />
      {weighIns.length > WEIGH_INS_SHOWN && (
        <details>
          <summary>{weighIns.length - WEIGH_INS_SHOWN} earlier ones</summary>
          <WeighInTable rows={weighIns.slice(WEIGH_INS_SHOWN)} zone={workshop.zone} />
        </details>
      )}
    </>
  );
};

const WeighInTable = ({ rows, zone }: { readonly rows: readonly SiteWeighIn[]; readonly zone: string }) => (
  <section class="scroll" aria-label="Weigh-ins" tabindex={0}>
    <table>
      <thead>
        <tr>
          <th scope="col">When</th>
          <th scope="col" class="number">
            Net
          </th>
          <th scope="col" class="number">
            Bags
          </th>
          <th scope="col" class="number">
            Expected
          </th>
          <th scope="col">How</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr>
            <td class="nowrap">
              <a href={`/weigh-ins/${row.weighInId}`}>{dayYearShort(localDay(row.at, zone))}</a>
            </td>
            <td class="number">{row.netKg === undefined ? '–' : kg(row.netKg)}</td>
            <td class="number">{row.bags === undefined ? '–' : number(row.bags)}</td>
            <td class="number">
              {row.expected === undefined ? '–' : kgRange(row.expected.lowKg, row.expected.highKg)}
            </td>
            <td>
              {[
                METHOD_WORDS[row.method],
                row.foundFull && 'found full',
                row.rejectedKg > 0 && `${kg(row.rejectedKg)} thrown out`,
                row.weight !== undefined &&
                  row.weight < 0.5 &&
                  `counts ${percent(row.weight)}: does not fit the rest`,
                row.confirmed && `confirmed by ${row.confirmed.by}`,
                row.note,
              ]
                .filter(Boolean)
                .join('; ')}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  </section>
);

const Place = ({ view }: { readonly view: SiteView }) => (
  <dl class="pairs after">
    <dt>Address</dt>
    <dd>
      {view.address || 'not given'}
      <br />
      <span class="small soft">
        {view.lat.toFixed(5)}, {view.lon.toFixed(5)}{' '}
        <a class="on-screen" href={`/sites/${view.siteId}/position`}>
          On the map, correct it
        </a>
      </span>
    </dd>
    <dt>Containers</dt>
    <dd>
      {view.containers.length === 0
        ? 'none'
        : view.containers.map(({ kind, count, litresEach }) => (
            <>
              {containers(kind, count, litresEach)}
              <br />
            </>
          ))}
      <span class="small soft">
        {litres(view.capacityL)} in all, about {kg(view.capacityKg)} of loose film
      </span>
    </dd>
    <dt>Hours</dt>
    <dd>{view.hoursText === '' ? 'always open' : hoursWords(view.hoursText)}</dd>
    {view.closures.length > 0 && (
      <>
        <dt>Closed</dt>
        <dd>
          {view.closures.map(({ fromDay, untilDay, reason }) => (
            <>
              {fromDay === untilDay
                ? dayYearShort(fromDay)
                : `${dayYearShort(fromDay)} to ${dayYearShort(untilDay)}`}
              {reason && `, ${reason}`}
              <br />
            </>
          ))}
        </dd>
      </>
    )}
    <dt>Time there</dt>
    <dd>{duration(view.serviceS)}</dd>
    {view.accessNotes && (
      <>
        <dt>Access</dt>
        <dd>{view.accessNotes}</dd>
      </>
    )}
    {view.handlingNotes && (
      <>
        <dt>Caution</dt>
        <dd>
          <strong>{view.handlingNotes}</strong>
        </dd>
      </>
    )}
    <dt>Grades</dt>
    <dd>
      {view.gradeShares.length === 0
        ? 'not known yet'
        : view.gradeShares.map(({ grade, share }) => `${gradeName(grade)} ${percent(share)}`).join(', ')}
    </dd>
    <dt>Contact</dt>
    <dd>
      {view.contacts.length === 0
        ? 'none'
        : view.contacts.map(({ name, phone, email }) => (
            <>
              {name}
              {phone && (
                <>
                  , <a href={`tel:${phone.replaceAll(/[^+\d]/g, '')}`}>{phone}</a>
                </>
              )}
              {email && (
                <>
                  , <a href={`mailto:${email}`}>{email}</a>
                </>
              )}
              <br />
            </>
          ))}
    </dd>
    <dt>Calls</dt>
    <dd>{callsWords(view.calls)}</dd>
  </dl>
);
