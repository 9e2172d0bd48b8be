/** The sheet's facts as tables: the same week for those who read rather than look. */
import { dayShort, kg, money, percent, time, weekday } from '../shared/format.ts';
import {
  type Locale,
  leftOut as leftOutWords,
  MONEY_WORDS,
  moneyParts,
  unkeptPromise,
} from '../shared/words.ts';
import type { FanPoint, SiteStrip, WeekSheetView } from './week-sheet-view.ts';

const localeOf = (view: WeekSheetView): Locale => view.workshop;

/** Promises that cannot be kept stand above everything else. */
export const Unkept = ({ view }: { readonly view: WeekSheetView }) =>
  view.unkept.length === 0 ? null : (
    <section class="unkept" aria-labelledby="unkept">
      <h2 id="unkept">
        {view.unkept.length === 1
          ? 'One promise cannot be kept'
          : `${view.unkept.length} promises cannot be kept`}
      </h2>
      <ul>
        {view.unkept.map((promise) => {
          const { what, mend } = unkeptPromise(promise, localeOf(view));
          return (
            <li>
              <a href={`/sites/${promise.siteId}`}>{view.siteNames[promise.siteId] ?? 'Unknown site'}</a>
              {'. '}
              {what} <strong>{mend}</strong>
            </li>
          );
        })}
      </ul>
    </section>
  );

export const LeftOutList = ({ view }: { readonly view: WeekSheetView }) =>
  view.leftOut.length === 0 ? null : (
    <section aria-labelledby="left-out">
      <h2 id="left-out">Left for later</h2>
      <p class="lead-in">
        {view.leftOut.length === 1 ? 'One site is' : `${view.leftOut.length} sites are`} not visited in these
        days, and why.
      </p>
      <dl class="waits">
        {view.leftOut.map((out) => (
          <div class="wait whole">
            <dt>
              <a href={`/sites/${out.siteId}`}>{view.siteNames[out.siteId] ?? 'Unknown site'}</a>
            </dt>
            <dd>
              {leftOutWords(out, localeOf(view))}{' '}
              {view.plan && view.plan.state !== 'superseded' && (
                <a class="on-screen" href={`/plans/${view.plan.id}/sites/${out.siteId}/change`}>
                  What a visit would cost
                  <span class="unseen"> at {view.siteNames[out.siteId]}</span>
                </a>
              )}
            </dd>
          </div>
        ))}
      </dl>
    </section>
  );

/** What the plan costs by part and day, in the columns of the sheet. */
export const MoneyTable = ({ view }: { readonly view: WeekSheetView }) => {
  const { plan, days, workshop } = view;
  if (!plan) return null;
  const total = (index: number) =>
    Object.values(plan.moneyByDay[index] ?? {}).reduce((s, part) => s + part, 0);
  return (
    <section class="money whole" aria-labelledby="money">
      <h2 id="money">What the plan weighs up</h2>
      <p class="lead-in">
        {money(plan.costMicros, workshop.currency)} in all. Some of it is paid, some of it is a risk put into
        money: an overflowing container, film to be bought in, a promise not kept.
      </p>
      <section class="scroll" aria-label="Cost by part and day" tabindex={0}>
        <table class="tide tide-money">
          <colgroup>
            <col class="tide-label" />
            <col span={days.length + 1} />
          </colgroup>
          <thead>
            <tr>
              <th scope="col">Part</th>
              <th scope="col" class="number">
                Week
              </th>
              {days.map(({ day }) => (
                <th scope="col" class="number">
                  {weekday(day)}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {moneyParts(plan.money).map(({ part, micros }) => (
              <tr>
                <th scope="row">
                  {MONEY_WORDS[part].name}
                  <small>{MONEY_WORDS[part].means}</small>
                </th>
                <td class="number">{money(micros, workshop.currency)}</td>
                {days.map((_, i) => {
                  const dayMicros = plan.moneyByDay[i]?.[part] ?? 0;
                  return (
                    <td class="number">
                      {Math.abs(dayMicros) < 5000 ? '·' : money(dayMicros, workshop.currency)}
                    </td>
                  );
                })}
              </tr>
            ))}
            <tr class="tide-strong">
              <th scope="row">All</th>
              <td class="number">{money(plan.costMicros, workshop.currency)}</td>
              {days.map((_, i) => (
                <td class="number">{money(total(i), workshop.currency)}</td>
              ))}
            </tr>
          </tbody>
        </table>
      </section>
    </section>
  );
};

/** The last point of a strip at or before an instant; after a visit, that of the new fan. */
function fillAtNight(strip: SiteStrip, endAt: number): FanPoint | undefined {
  const points = strip.fans.flat().filter((point) => point.at <= endAt);
  return points.at(-1);
}

/** Every strip in numbers. */
export const SheetTable = ({
  view,
  strips,
}: {
  readonly view: WeekSheetView;
  readonly strips: readonly SiteStrip[];
}) => (
  <details class="numbers">
    <summary>The sites in numbers</summary>
    <section class="scroll" aria-label="The week in numbers" tabindex={0}>
      <table>
        <caption>
          Film at each site at the end of each day (middle of the estimate), and the visits planned. Times are
          local.
        </caption>
        <thead>
          <tr>
            <th scope="col">Site</th>
            <th scope="col">Brim</th>
            <th scope="col">Overflow</th>
            {view.days.map(({ day }) => (
              <th scope="col">{dayShort(day)}</th>
            ))}
          </tr>
        </thead>
        <tbody>
          {strips.map((strip) => (
            <tr>
              <th scope="row">{strip.name}</th>
              <td>{kg(strip.capacityKg)}</td>
              <td>
                {percent(strip.overflowRisk)} by {dayShort(strip.riskDay)}
              </td>
              {view.days.map((day) => (
                <td>
                  {kg(fillAtNight(strip, day.endsAt)?.medianKg ?? strip.nowKg)}
                  {strip.marks
                    .filter(
                      (mark) => mark.kind === 'visit' && mark.at >= day.startsAt && mark.at < day.endsAt,
                    )
                    .map((mark) => (
                      <small>visit {mark.kind === 'visit' ? time(mark.at, view.workshop.zone) : ''}</small>
                    ))}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  </details>
);
