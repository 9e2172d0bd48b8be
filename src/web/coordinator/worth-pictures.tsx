/** Money and figures of simulated years as bars, with their numbers in a table beside or below. */
import type { Estimate } from '../../core/simulation/report.ts';
import { YEAR_PARTS, type YearPart } from '../../core/simulation/year-result.ts';
import { type PolicyWorth, WORTH_FIGURES, type WorthFigure } from '../../usecases/compare-worth.ts';
import { money } from '../shared/format.ts';
import {
  FIGURE_WORDS,
  figureAmount,
  intervalOf,
  PART_WORDS,
  POLICY_WORDS,
  roughMicros,
} from '../shared/worth-words.ts';
import { per } from './marks.tsx';
import { highest, type WorthPictureProps } from './worth-front.tsx';

/** A mean of what cannot be negative is not negative either. */
const aboveNothing = (of: Estimate): Estimate =>
  of.low === undefined ? of : { ...of, low: Math.max(0, of.low) };

// ---- money by part -------------------------------------------------------------------------------------

export const MoneyPicture = ({ comparison: { policies }, currency }: WorthPictureProps) => {
  const totals = policies.map(({ money: parts }) => YEAR_PARTS.reduce((sum, part) => sum + parts[part], 0));
  const most = Math.max(...totals);
  const shown = YEAR_PARTS.filter((part) => policies.some(({ money: parts }) => parts[part] >= 0.002 * most));
  const amount = (micros: number): string => (micros < 500_000 ? '–' : money(roughMicros(micros), currency));
  return (
    <figure>
      <ul class="worth-key">
        {shown.map((part) => (
          <li>
            <span class={`worth-swatch worth-part-${part}`} /> {PART_WORDS[part]}
          </li>
        ))}
      </ul>
      <ul class="worth-stacks" aria-hidden="true">
        {policies.map(({ policy, money: parts }, i) => (
          <li>
            <span class="worth-stack-name">{POLICY_WORDS[policy].name}</span>
            <Stack parts={parts} most={most} />
            <strong>{amount(totals[i]!)}</strong>
          </li>
        ))}
      </ul>
      <section class="scroll" aria-label="Money a year by part" tabindex={0}>
        <table class="worth-money">
          <caption>Money a year for the whole workshop, by your own prices.</caption>
          <thead>
            <tr>
              <th scope="col">Who plans</th>
              {shown.map((part) => (
                <th scope="col" class="number">
                  {PART_WORDS[part]}
                </th>
              ))}
              <th scope="col" class="number">
                Together
              </th>
            </tr>
          </thead>
          <tbody>
            {policies.map(({ policy, money: parts }, i) => (
              <tr>
                <th scope="row">{POLICY_WORDS[policy].name}</th>
                {shown.map((part) => (
                  <td class="number">{amount(parts[part])}</td>
                ))}
                <td class="number">
                  <strong>{amount(totals[i]!)}</strong>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </figure>
  );
};

const Stack = ({ parts, most }: { readonly parts: PolicyWorth['money']; readonly most: number }) => {
  let from = 0;
  return (
    <svg class="bar" width="100%" height="22" aria-hidden="true" focusable="false">
      {YEAR_PARTS.map((part: YearPart) => {
        const x = from;
        const width = (100 * parts[part]) / most;
        from += width;
        return width < 0.1 ? null : (
          <rect class={`worth-part-${part}`} x={per(x)} width={per(width)} y="2" height="18" />
        );
      })}
    </svg>
  );
};

// ---- one small table a figure --------------------------------------------------------------------------

export const FigurePictures = ({ comparison, currency }: WorthPictureProps) => (
  <div class="worth-figures">
    {WORTH_FIGURES.map((figure) => (
      <FigureTable figure={figure} comparison={comparison} currency={currency} />
    ))}
  </div>
);

const FigureTable = ({
  figure,
  comparison: { policies },
  currency,
}: WorthPictureProps & { readonly figure: WorthFigure }) => {
  const most = Math.max(1e-9, ...policies.map((policy) => highest(policy.figures[figure])));
  return (
    <table class="worth-figure">
      <caption>
        <strong>{FIGURE_WORDS[figure].name}</strong> {FIGURE_WORDS[figure].means}
      </caption>
      <thead class="unseen">
        <tr>
          <th scope="col">Who plans</th>
          <th scope="col">Picture</th>
          <th scope="col">Mean and range</th>
        </tr>
      </thead>
      <tbody>
        {policies.map(({ policy, figures }) => (
          <tr>
            <th scope="row">{POLICY_WORDS[policy].name}</th>
            <td class="worth-bar">
              <Bar of={figures[figure]} most={most} isOurs={policy === 'planner'} />
            </td>
            <td class="number">
              {figureAmount(figure, figures[figure].mean, currency)}
              <small>{intervalOf(figure, aboveNothing(figures[figure]), currency)}</small>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
};

const Bar = ({
  of,
  most,
  isOurs,
}: {
  readonly of: Estimate;
  readonly most: number;
  readonly isOurs: boolean;
}) => {
  const share = (value: number): number => (100 * Math.min(most, Math.max(0, value))) / most;
  return (
    <svg class="bar" width="100%" height="16" aria-hidden="true" focusable="false">
      <rect class={isOurs ? 'bar-fill' : 'bar-other'} x="0" y="3" width={per(share(of.mean))} height="10" />
      {of.low !== undefined && (
        <>
          <line class="worth-whisker" x1={per(share(of.low))} x2={per(share(highest(of)))} y1="8" y2="8" />
          <line class="worth-whisker" x1={per(share(of.low))} x2={per(share(of.low))} y1="4" y2="12" />
          <line
            class="worth-whisker"
            x1={per(share(highest(of)))}
            x2={per(share(highest(of)))}
            y1="4"
            y2="12"
          />
        </>
      )}
    </svg>
  );
};
