/**
 * What became of the film. Diverted is what was accepted, not what was collected (facts.md G1); kilograms only,
 * because no carbon figure for film is safe to show unasked (G2).
 */
import { scaleLinear } from 'd3-scale';
import type { Became, FilmMonth } from '../../usecases/donor-records/what-it-became.ts';
import type { Say } from '../messages/say.ts';

type Props = { readonly say: Say; readonly became: Became; readonly nowMonth: string };

export const WhatItBecame = ({ say, became, nowMonth }: Props) => {
  const { became: words } = say;
  const { sum, months, products, yearBefore, years } = became;
  return (
    <section class="became" aria-labelledby="became">
      <h2 id="became">{words.title}</h2>
      {sum.pickups === 0 ? (
        <p>{words.none}</p>
      ) : (
        <>
          <p class="became-sum">
            <b>{words.accepted(sum.acceptedKg, sum.estimatedKg > 0)}</b>{' '}
            <span>
              {words.lead(months.length, sum.collectedKg > 0 ? sum.acceptedKg / sum.collectedKg : 0)}
            </span>
          </p>
          {yearBefore && <p>{comparison(say, sum.acceptedKg - yearBefore.acceptedKg)}</p>}
          {products.length > 0 && <p>{words.products(products)}</p>}
          <Bars say={say} months={months} />
          <MonthTable say={say} became={became} nowMonth={nowMonth} />
        </>
      )}
      {years.length > 0 && <Papers say={say} years={years} />}
    </section>
  );
};

const comparison = ({ became: words }: Say, differenceKg: number): string => {
  if (Math.abs(differenceKg) < 0.5) return words.same;
  return differenceKg > 0 ? words.more(differenceKg) : words.less(-differenceKg);
};

const WIDTH = 560;
const HEIGHT = 220;
const FLOOR = 188;
const LEFT = 38;

/** A pair of bars a month: this year's solid, thrown out on top of it, the year before as an open frame behind. */
const Bars = ({
  say: { became: words, f },
  months,
}: {
  readonly say: Say;
  readonly months: readonly FilmMonth[];
}) => {
  const mostKg = Math.max(...months.map((m) => Math.max(m.collectedKg, m.yearBeforeKg)), 1);
  const y = scaleLinear([0, mostKg], [FLOOR, 14]).nice(4);
  const step = (WIDTH - LEFT) / months.length;
  const hasBefore = months.some((m) => m.yearBeforeKg > 0);
  return (
    <figure class="became-bars">
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} aria-hidden="true" focusable="false">
        {y.ticks(4).map((tick) => (
          <g>
            <line class="became-grid" x1={LEFT} x2={WIDTH} y1={y(tick)} y2={y(tick)} />
            <text class="became-tick" x={LEFT - 6} y={y(tick) + 5}>
              {f.number(tick)}
            </text>
          </g>
        ))}
        <text class="became-tick" x={LEFT - 6} y={HEIGHT - 6}>
          kg
        </text>
        {months.map((m, i) => {
          const x = LEFT + i * step;
          return (
            <g>
              {m.yearBeforeKg > 0 && (
                <rect
                  class="became-before"
                  x={x + 0.1 * step}
                  width={0.45 * step}
                  y={y(m.yearBeforeKg)}
                  height={FLOOR - y(m.yearBeforeKg)}
                />
              )}
              <rect
                class="became-out"
                x={x + 0.32 * step}
                width={0.52 * step}
                y={y(m.collectedKg)}
                height={y(m.acceptedKg) - y(m.collectedKg)}
              />
              <rect
                class="became-kept"
                x={x + 0.32 * step}
                width={0.52 * step}
                y={y(m.acceptedKg)}
                height={FLOOR - y(m.acceptedKg)}
              />
              <text class="became-month" x={x + 0.52 * step} y={HEIGHT - 6}>
                {words.monthShort(m.month)}
              </text>
            </g>
          );
        })}
      </svg>
      <figcaption class="became-legend">
        <span class="became-key became-key-kept">{words.legendNow}</span>
        <span class="became-key became-key-out">{words.legendOut}</span>
        {hasBefore && <span class="became-key became-key-before">{words.legendBefore}</span>}
      </figcaption>
    </figure>
  );
};

const MonthTable = ({ say, became: { months, sum }, nowMonth }: Props) => {
  const { became: words, f } = say;
  const isGuessed = sum.estimatedKg > 0;
  const share = (part: { acceptedKg: number; collectedKg: number }): string =>
    part.collectedKg === 0 ? '–' : f.percent(part.acceptedKg / part.collectedKg);
  return (
    <details>
      <summary>{words.asTable}</summary>
      <section class="scroll" aria-label={words.title} tabindex={0}>
        <table class="donor-months">
          <caption>
            {words.caption}
            {isGuessed && words.captionGuessed}
          </caption>
          <thead>
            <tr>
              <th scope="col">{words.month}</th>
              {[words.visits, words.taken, words.acceptedHead, words.share, words.yearBefore].map((head) => (
                <th scope="col" class="number">
                  {head}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {[...months].reverse().map((m) => (
              <tr>
                <th scope="row">
                  {words.monthName(m.month)}
                  {m.month === nowMonth && <span class="soft"> {words.soFar}</span>}
                </th>
                <td class="number">{f.number(m.pickups)}</td>
                <td class="number">{words.about(m.estimatedKg > 0, m.collectedKg)}</td>
                <td class="number">{words.about(m.estimatedKg > 0, m.acceptedKg)}</td>
                <td class="number">{share(m)}</td>
                <td class="number">{m.yearBeforeKg === 0 ? '–' : f.kg(m.yearBeforeKg)}</td>
              </tr>
            ))}
          </tbody>
          <tfoot>
            <tr>
              <th scope="row">{words.together}</th>
              <td class="number">{f.number(sum.pickups)}</td>
              <td class="number">{words.about(isGuessed, sum.collectedKg)}</td>
              <td class="number">{words.about(isGuessed, sum.acceptedKg)}</td>
              <td class="number">{share(sum)}</td>
              <td />
            </tr>
          </tfoot>
        </table>
      </section>
    </details>
  );
};

const Papers = ({
  say: { became: words },
  years,
}: {
  readonly say: Say;
  readonly years: readonly number[];
}) => (
  <div>
    <h3>{words.papers}</h3>
    <p>{words.papersText}</p>
    <ul class="became-papers">
      {years.map((year) => (
        <li>
          <a class="button" href={`/donor/records/${year}/record.pdf`}>
            {words.yearPaper(year)}
          </a>
          <a href={`/donor/records/${year}/months.csv`}>
            <span class="unseen">{year}: </span>
            {words.yearStatement}
          </a>
          <a href={`/donor/records/${year}/transfers.csv`}>
            <span class="unseen">{year}: </span>
            {words.yearTransfers}
          </a>
        </li>
      ))}
    </ul>
  </div>
);
