/** What is different between two plans, day by day: another day first, with its reason; other hours folded away. */
import type { Difference, Visit } from '../../core/planning/compare-plans.ts';
import type { UnkeptPromise } from '../../core/planning/plan.ts';
import type { LocalDay } from '../../core/quantity/units.ts';
import { dayLong, number, time } from '../shared/format.ts';
import type { Names } from '../shared/names.ts';
import { leftOut, stopConsequence, stopReason, unkeptPromise } from '../shared/words.ts';

type DifferencesProps = {
  readonly differences: readonly Difference[];
  readonly names: Names;
  /** Promises that the second plan does not keep. */
  readonly unkept?: readonly UnkeptPromise[];
  /** The first of the two plans is what donors were told. */
  readonly isTold: boolean;
};

export const Differences = ({ differences, ...rest }: DifferencesProps) => {
  const ofDays = differences.filter(isOfDays);
  const ofHours = differences.filter((one) => !isOfDays(one));
  return (
    <>
      <ByDay differences={ofDays} {...rest} />
      {ofHours.length > 0 && (
        <details class="changes-hours" open={ofDays.length === 0}>
          <summary>
            {ofHours.length === 1
              ? 'One is visited on its day at another time'
              : `${number(ofHours.length)} are visited on their day at another time`}
          </summary>
          <ByDay differences={ofHours} {...rest} />
        </details>
      )}
    </>
  );
};

/** Whoever is visited on the same day need only be told where the hour matters. */
const isOfDays = ({ kind }: Difference): boolean => kind !== 'another-round' && kind !== 'another-hour';
const dayOf = (difference: Difference): LocalDay =>
  difference.kind === 'added' ? difference.to.day : difference.from.day;

const ByDay = ({ differences, ...rest }: DifferencesProps) => (
  <>
    {[...Map.groupBy(differences, dayOf)].map(([day, ofDay]) => (
      <section class="changes-day">
        <h3>{dayLong(day)}</h3>
        <ul class="changes">
          {ofDay.map((difference) => {
            const why = isOfDays(difference) ? whyWords(difference, rest) : '';
            return (
              <li>
                <a href={`/sites/${difference.siteId}`}>{rest.names.of('site', difference.siteId)}</a>{' '}
                {whatWords(difference, rest)}
                {why !== '' && <span class="soft"> {why}</span>}
              </li>
            );
          })}
        </ul>
      </section>
    ))}
  </>
);

type Told = Omit<DifferencesProps, 'differences'>;

/** What becomes of a site on that day. */
function whatWords(difference: Difference, { names, isTold }: Told): string {
  const at = ({ startAt }: Visit): string => time(startAt, names.zone);
  const told = isTold ? 'was told this day and ' : '';
  switch (difference.kind) {
    case 'moved':
      return `${told}moves to ${dayLong(difference.to.day)}, ${at(difference.to)}.`;
    case 'dropped':
      return `${told}is not visited.`;
    case 'added':
      return `is visited, ${at(difference.to)}.`;
    case 'another-round':
      return `is visited by another round, ${at(difference.to)} instead of ${at(difference.from)}.`;
    case 'another-hour':
      return `is visited at ${at(difference.to)} instead of ${at(difference.from)}.`;
  }
}

const sentence = (text: string): string => (text.endsWith('.') ? text : `${text}.`);

function whyWords({ siteId, reason, leftOut: left }: Difference, { names, unkept = [] }: Told): string {
  const locale = { zone: names.zone, currency: names.currency };
  if (reason) return `${sentence(stopReason(reason, locale))} ${stopConsequence(reason, locale)}`;
  if (left) return sentence(leftOut(left, locale));
  const promise = unkept.find((one) => one.siteId === siteId);
  if (!promise) return '';
  const { what, mend } = unkeptPromise(promise, locale);
  return `${sentence(what)} ${sentence(mend)}`;
}
