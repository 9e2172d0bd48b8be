/** What would follow from a change, before anything is kept: money by part, days, vans, and what stands in the way. */
import { MONEY_PARTS } from '../../core/planning/plan.ts';
import type { DayFigures, RoundFigures, WeekFigures } from '../../core/planning/week-figures.ts';
import {
  brokenPromiseWords,
  changeWords,
  consequenceWords,
  obstacleWords,
  signedMoney,
} from '../shared/change-words.ts';
import {
  dayLong,
  dayShort,
  duration,
  kg,
  km,
  litres,
  money,
  number,
  percent,
  time,
  timeSpan,
} from '../shared/format.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { MONEY_WORDS, PLAN_STATE_WORDS } from '../shared/words.ts';
import { ChangeForm, FRAME, Lost, Newer } from './change-page.tsx';
import type { AnswerView } from './change-view.ts';
import { DifferenceBar } from './difference-bar.tsx';

export const AnswerPage = ({
  view,
  notice,
  newId,
}: {
  readonly view: AnswerView;
  readonly notice?: Notice | undefined;
  readonly newId: string;
}) => {
  const { names, planId, change, consequences } = view;
  const { obstacles, before, after } = consequences;
  const title = changeWords(change, names);
  const [first, ...others] = consequenceWords(consequences, names);
  return (
    <Page title={title} workshop={names.workshop} notice={notice} {...FRAME}>
      <p class="kicker">
        <a href={wayBack(view)}>{change.kind === 'swap-drivers' ? 'The drivers' : 'The stop'}</a> ·{' '}
        <a href={`/week?plan=${planId}`}>the week sheet</a> · {PLAN_STATE_WORDS[view.planState].toLowerCase()}{' '}
        plan
      </p>
      <h1>{title}</h1>
      <Newer view={view} />
      <Lost view={view} />
      {obstacles.length > 0 ? (
        <div class="notice notice-warning" role="alert">
          <p>
            <strong>This cannot be driven.</strong>
          </p>
          <ul class="change-list">
            {obstacles.map((one) => (
              <li>{obstacleWords(one, names)}</li>
            ))}
          </ul>
        </div>
      ) : (
        <p class="lead">{first}</p>
      )}
      {consequences.brokenPromises.length > 0 && (
        <div class="notice notice-warning" role="alert">
          <p>
            <strong>Somebody was promised otherwise.</strong> Talk to the donor first.
          </p>
          <ul class="change-list">
            {consequences.brokenPromises.map((promise) => (
              <li>{brokenPromiseWords(promise, names)}</li>
            ))}
          </ul>
        </div>
      )}
      {obstacles.length === 0 && (
        <ul class="change-follows">
          {others.map((sentence) => (
            <li>{sentence}</li>
          ))}
        </ul>
      )}
      <Decide view={view} newId={newId} />
      {after && (
        <>
          <MoneyTable before={before} after={after} currency={names.currency} />
          <DaysTable before={before} after={after} />
          <VansTable view={view} before={before} after={after} />
        </>
      )}
      <p class="small soft">
        Reckoned on the facts of now with everything else in its place. A week planned again around this
        change could only be cheaper.
      </p>
    </Page>
  );
};

const wayBack = ({ planId, change }: AnswerView): string =>
  change.kind === 'swap-drivers'
    ? `/plans/${planId}/drivers/${change.shiftId}`
    : `/plans/${planId}/sites/${change.siteId}/change?day=${change.day}`;

const Decide = ({ view, newId }: { readonly view: AnswerView; readonly newId: string }) => {
  const { obstacles, brokenPromises } = view.consequences;
  const isOpen = obstacles.length === 0 && view.newestId === undefined;
  const breaks = brokenPromises.length > 0;
  return (
    <div class="actions on-screen change-decide">
      {isOpen && (
        <ChangeForm planId={view.planId} change={view.change} newId={newId} breaks={breaks}>
          <button class="primary" type="submit">
            {breaks ? 'Keep as draft, and break the promise' : 'Keep as draft'}
          </button>
        </ChangeForm>
      )}
      <a class="button" href={wayBack(view)}>
        Leave it
      </a>
    </div>
  );
};

type BothProps = { readonly before: WeekFigures; readonly after: WeekFigures };

/** Also beside each other: two plans. */
export const MoneyTable = ({
  before,
  after,
  currency,
  heads = ['Before', 'After'],
}: BothProps & { readonly currency: string; readonly heads?: readonly [string, string] }) => {
  const rows = MONEY_PARTS.map((part) => ({ part, was: before.money[part], is: after.money[part] })).filter(
    ({ was, is }) => Math.abs(was) >= 5000 || Math.abs(is) >= 5000,
  );
  const most = Math.max(...rows.map(({ was, is }) => Math.abs(is - was)), 1);
  return (
    <section class="scroll change-table" aria-label="Money by part" tabindex={0}>
      <h2>Money by part</h2>
      <table>
        <thead>
          <tr>
            <th scope="col">Part</th>
            <th scope="col" class="number">
              {heads[0]}
            </th>
            <th scope="col" class="number">
              {heads[1]}
            </th>
            <th scope="col" class="number">
              Difference
            </th>
            <th scope="col" class="change-bar">
              <span class="unseen">As a bar</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ part, was, is }) => (
            <tr class={Math.abs(is - was) < 5000 ? 'change-same' : undefined}>
              <th scope="row">
                {MONEY_WORDS[part].name} <small class="soft">{MONEY_WORDS[part].means}</small>
              </th>
              <td class="number">{money(was, currency)}</td>
              <td class="number">{money(is, currency)}</td>
              <td class="number">{signedMoney(is - was, currency)}</td>
              <td class="change-bar">
                <DifferenceBar share={(is - was) / most} />
              </td>
            </tr>
          ))}
        </tbody>
        <tfoot>
          <tr>
            <th scope="row">In all</th>
            <td class="number">{money(before.costMicros, currency)}</td>
            <td class="number">{money(after.costMicros, currency)}</td>
            <td class="number">{signedMoney(after.costMicros - before.costMicros, currency)}</td>
            <td class="change-bar" />
          </tr>
        </tfoot>
      </table>
    </section>
  );
};

/** "31 → 34 km", or one figure where nothing changes. */
const turned = (was: string, is: string): string => (was === is ? is : `${was} → ${is}`);

export const DaysTable = ({ before, after }: BothProps) => {
  const rows = after.days.flatMap((is, i) => {
    const was = before.days[i]!;
    return sameDay(was, is) ? [] : [{ was, is }];
  });
  return (
    <section class="scroll change-table" aria-label="Days" tabindex={0}>
      <h2>Days that change</h2>
      {rows.length === 0 ? (
        <p>Every day has as much driving, work and film as before.</p>
      ) : (
        <table class="change-stacks">
          <thead>
            <tr>
              <th scope="col">Day</th>
              <th scope="col" class="number">
                Stops
              </th>
              <th scope="col" class="number">
                Driving
              </th>
              <th scope="col" class="number">
                Hours away
              </th>
              <th scope="col" class="number">
                Film expected
              </th>
            </tr>
          </thead>
          <tbody>
            {rows.map(({ was, is }) => (
              <tr>
                <th scope="row">{dayLong(is.day)}</th>
                <td class="number" data-head="Stops">
                  {turned(number(was.stops), number(is.stops))}
                </td>
                <td class="number" data-head="Driving">
                  {turned(km(was.distanceM), km(is.distanceM))}
                </td>
                <td class="number" data-head="Hours away">
                  {turned(duration(was.durationS), duration(is.durationS))}
                </td>
                <td class="number" data-head="Film expected">
                  {turned(kg(was.expectedKg), kg(is.expectedKg))}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
};

const sameDay = (a: DayFigures, b: DayFigures): boolean =>
  a.stops === b.stops &&
  Math.abs(a.distanceM - b.distanceM) < 50 &&
  Math.abs(a.durationS - b.durationS) < 30 &&
  Math.abs(a.expectedKg - b.expectedKg) < 0.05;

const VansTable = ({ view: { names }, before, after }: BothProps & { readonly view: AnswerView }) => {
  const shiftIds = new Set([...before.rounds, ...after.rounds].map(({ shiftId }) => shiftId));
  const rows = [...shiftIds]
    .map((shiftId) => ({
      shiftId,
      was: before.rounds.find((round) => round.shiftId === shiftId),
      is: after.rounds.find((round) => round.shiftId === shiftId),
    }))
    .filter(({ was, is }) => JSON.stringify(was) !== JSON.stringify(is))
    .sort((a, b) => (a.is ?? a.was!).startAt - (b.is ?? b.was!).startAt);
  if (rows.length === 0) return null;
  const show = (round: RoundFigures | undefined, of: (round: RoundFigures) => string): string =>
    round ? of(round) : 'no round';
  return (
    <section class="scroll change-table" aria-label="Vans" tabindex={0}>
      <h2>Vans that change</h2>
      <table class="change-stacks">
        <thead>
          <tr>
            <th scope="col">Round</th>
            <th scope="col">On the road</th>
            <th scope="col" class="number">
              Load to reckon with
            </th>
            <th scope="col" class="number">
              Space to reckon with
            </th>
            <th scope="col" class="number">
              Chance full early
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ was, is }) => {
            const given = (is ?? was)!;
            const both = (of: (round: RoundFigures) => string): string => turned(show(was, of), show(is, of));
            return (
              <tr>
                <th scope="row">
                  {names.of('van', given.vanId)}, {dayShort(given.day)}{' '}
                  <small class="soft">{both((r) => names.of('driver', r.driverId))}</small>
                </th>
                <td data-head="On the road">
                  {both((r) => timeSpan(r.startAt, r.endAt, names.zone))}{' '}
                  <small class="soft">shift ends {time(given.shiftEndAt, names.zone)}</small>
                </td>
                <td class="number" data-head="Load to reckon with">
                  {both((r) => kg(r.cautiousLoadKg))} <small class="soft">of {kg(given.payloadKg)}</small>
                </td>
                <td class="number" data-head="Space to reckon with">
                  {both((r) => litres(r.cautiousLoadL))}{' '}
                  <small class="soft">of {litres(given.loadSpaceL)}</small>
                </td>
                <td class="number" data-head="Chance full early">
                  {both((r) => percent(r.fullEarlyRisk))}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </section>
  );
};
