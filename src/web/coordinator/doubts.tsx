/** Weigh-ins that do not fit: one line each, with the two things one can do about it. */
import { dayShort, dayYearShort, kg, kgRange, localDay, number, percent } from '../shared/format.ts';
import type { DoubtView } from './weigh-in-view.ts';

const DAY_S = 86_400;
/** What is older is looked at when there is time for it. */
const RECENT_S = 60 * DAY_S;
/** The week sheet names this many; the list of sites has all. */
const NAMED = 2;

type ListProps = {
  /** On the site's own page nobody need be told where. */
  readonly isOneSite?: boolean;
  readonly doubts: readonly DoubtView[];
  readonly zone: string;
  readonly nowAt: number;
};

/** "310 kg on Thu 12 Mar 2026, expected 20–45 kg". */
const figure = ({ kg: massKg, at, lowKg, highKg }: DoubtView, zone: string): string =>
  `${kg(massKg)} on ${dayYearShort(localDay(at, zone))}, expected ${kgRange(lowKg, highKg)}`;

export const DoubtActions = ({ weighInId, figureOf }: { weighInId: string; figureOf: string }) => (
  <div class="actions on-screen">
    <form method="post" action={`/weigh-ins/${weighInId}/confirmation`}>
      <button type="submit">
        The figure is right<span class="unseen">: {figureOf}</span>
      </button>
    </form>
    <a class="button" href={`/weigh-ins/${weighInId}#correct`}>
      Correct it<span class="unseen">: {figureOf}</span>
    </a>
  </div>
);

type RowProps = { readonly doubt: DoubtView; readonly zone: string; readonly isOneSite: boolean };

const DoubtRow = ({ doubt, zone, isOneSite }: RowProps) => (
  <li class="doubt">
    <p>
      {!isOneSite && (
        <>
          <a href={`/sites/${doubt.siteId}`}>{doubt.siteName}</a>:{' '}
        </>
      )}
      <strong>{kg(doubt.kg)}</strong> on{' '}
      <a href={`/weigh-ins/${doubt.weighInId}`}>{dayYearShort(localDay(doubt.at, zone))}</a>, expected{' '}
      {kgRange(doubt.lowKg, doubt.highKg)}. <span class="soft">Counts {percent(doubt.weight)}.</span>
    </p>
    <DoubtActions weighInId={doubt.weighInId} figureOf={`${doubt.siteName}, ${figure(doubt, zone)}`} />
  </li>
);

/** All of them: the recent ones open, the older ones behind a fold. */
export const DoubtList = ({ doubts, zone, nowAt, isOneSite = false }: ListProps) => {
  if (doubts.length === 0) return null;
  const recent = doubts.filter((doubt) => doubt.at >= nowAt - RECENT_S);
  const older = doubts.slice(recent.length);
  return (
    <section class="doubts" aria-labelledby="doubts">
      <h2 id="doubts">{fitWords(doubts.length)}</h2>
      <p class="soft small">
        Each counts for less in the estimate until somebody looks at it. A slip is corrected; a true figure
        counts in full once you say so.
      </p>
      <ul>
        {recent.map((doubt) => (
          <DoubtRow doubt={doubt} zone={zone} isOneSite={isOneSite} />
        ))}
      </ul>
      {older.length > 0 && (
        <details>
          <summary>
            {number(older.length)} from more than {RECENT_S / DAY_S} days ago
          </summary>
          <ul>
            {older.map((doubt) => (
              <DoubtRow doubt={doubt} zone={zone} isOneSite={isOneSite} />
            ))}
          </ul>
        </details>
      )}
    </section>
  );
};

/** For the week sheet: how many, the newest by name, and where to answer. */
export const DoubtLine = ({ doubts, zone, nowAt }: ListProps) => {
  const recent = doubts.filter((doubt) => doubt.at >= nowAt - RECENT_S);
  if (recent.length === 0) return null;
  const more = recent.length - NAMED;
  return (
    <p class="doubt-line">
      <strong>{fitWords(recent.length)}:</strong>{' '}
      {recent.slice(0, NAMED).map((doubt, i) => (
        <>
          {i > 0 && '; '}
          {kg(doubt.kg)} at <a href={`/weigh-ins/${doubt.weighInId}`}>{doubt.siteName}</a> on{' '}
          {dayShort(localDay(doubt.at, zone))}, expected {kgRange(doubt.lowKg, doubt.highKg)}
        </>
      ))}
      {more > 0 && `; and ${number(more)} more`}. <a href="/sites#doubts">Confirm or correct</a>
    </p>
  );
};

const fitWords = (count: number): string =>
  count === 1 ? '1 weigh-in does not fit' : `${number(count)} weigh-ins do not fit`;
