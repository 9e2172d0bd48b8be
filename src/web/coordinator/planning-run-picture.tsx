/**
 * Money of the best week over the seconds of the search, as a line of steps, and the same as a table. Places are per
 * cent of the width and pixels of the height, so that one drawing fits a desk and a phone.
 */
import { scaleLinear } from 'd3-scale';
import type { Seconds } from '../../core/quantity/units.ts';
import type { BetterWeek } from '../../usecases/planning-run.ts';
import { km, money, NBSP, number } from '../shared/format.ts';
import { at2 } from './day-scale.ts';
import { per } from './marks.tsx';

type Props = { readonly better: readonly BetterWeek[]; readonly forS: Seconds; readonly currency: string };

const HEIGHT_PX = 180;
const TOP_PX = 24;
const FOOT_PX = 24;
const MOST_ROWS = 12;

export const BetterWeeks = ({ better, forS, currency }: Props) => {
  const first = better[0];
  const last = better.at(-1);
  if (!first || !last) return null;
  if (better.length === 1)
    return (
      <p>
        The first whole week, after {secondsWords(first.forS)}, is still the best:{' '}
        {money(first.costMicros, currency)} with {km(first.distanceM)} of driving. Nothing better was found
        since.
      </p>
    );
  return (
    <figure class="better">
      <svg
        class="better-weeks"
        width="100%"
        height={HEIGHT_PX + FOOT_PX}
        role="img"
        aria-label={`From ${money(first.costMicros, currency)} after ${secondsWords(first.forS)} to ${money(last.costMicros, currency)} after ${secondsWords(last.forS)}.`}
      >
        <Steps better={better} forS={forS} currency={currency} />
      </svg>
      <figcaption class="small soft">The scale of money does not begin at nothing.</figcaption>
      <details>
        <summary>The same as a table</summary>
        <table>
          <caption>{captionOf(better.length)}</caption>
          <thead>
            <tr>
              <th scope="col" class="number">
                After
              </th>
              <th scope="col" class="number">
                Money
              </th>
              <th scope="col" class="number">
                Driving
              </th>
            </tr>
          </thead>
          <tbody>
            {rowsOf(better).map((week) => (
              <tr>
                <td class="number">{secondsWords(week.forS)}</td>
                <td class="number">{money(week.costMicros, currency)}</td>
                <td class="number">{km(week.distanceM)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </figure>
  );
};

/** "0.7 s", "3 s", "48 s". */
export const secondsWords = (value: Seconds): string =>
  `${number(value, value < 10 && !Number.isInteger(value) ? 1 : 0)}${NBSP}s`;

const captionOf = (count: number): string =>
  count <= MOST_ROWS
    ? 'Each better week.'
    : `${MOST_ROWS} of ${number(count)} better weeks, the last included.`;

/** Evenly over all, with both ends. */
const rowsOf = (better: readonly BetterWeek[]): readonly BetterWeek[] =>
  better.length <= MOST_ROWS
    ? better
    : Array.from(
        { length: MOST_ROWS },
        (_, i) => better[Math.round((i * (better.length - 1)) / (MOST_ROWS - 1))]!,
      );

const Steps = ({ better, forS, currency }: Props) => {
  const untilS = Math.max(forS, better.at(-1)!.forS, 1);
  const costs = better.map(({ costMicros }) => costMicros);
  const [low, high] = [Math.min(...costs), Math.max(...costs)];
  const spare = Math.max((high - low) * 0.08, 1e6);
  const money0 = scaleLinear([low - spare, high + spare], [HEIGHT_PX, TOP_PX]);
  const time0 = scaleLinear([0, untilS], [0, 100]);
  const x = (atS: Seconds): string => per(time0(atS));
  const y = (micros: number): number => at2(money0(micros));
  return (
    <>
      {ticksOf(money0.ticks(3), currency).map((tick) => (
        <>
          <line class="grid" x1="0%" x2="100%" y1={y(tick)} y2={y(tick)} />
          <text x="100%" y={y(tick) - 5} text-anchor="end">
            {money(tick, currency)}
          </text>
        </>
      ))}
      {time0.ticks(4).map((tick) => (
        <text x={x(tick)} y={HEIGHT_PX + 17} text-anchor={anchorOf(time0(tick))}>
          {secondsWords(tick)}
        </text>
      ))}
      <line class="ground" x1="0%" x2="100%" y1={HEIGHT_PX} y2={HEIGHT_PX} />
      {better.map((week, i) => {
        const next = better[i + 1];
        return (
          <>
            <line
              class="better-line"
              x1={x(week.forS)}
              x2={x(next?.forS ?? untilS)}
              y1={y(week.costMicros)}
              y2={y(week.costMicros)}
            />
            {next && (
              <line
                class="better-line"
                x1={x(next.forS)}
                x2={x(next.forS)}
                y1={y(week.costMicros)}
                y2={y(next.costMicros)}
              />
            )}
          </>
        );
      })}
    </>
  );
};

/** Money is written in whole units from a hundred on: of ticks that read alike, the first. */
const ticksOf = (ticks: readonly number[], currency: string): readonly number[] =>
  ticks.filter((tick, i) => i === 0 || money(tick, currency) !== money(ticks[i - 1]!, currency));

const anchorOf = (x: number): 'start' | 'middle' | 'end' => (x < 4 ? 'start' : x > 96 ? 'end' : 'middle');
