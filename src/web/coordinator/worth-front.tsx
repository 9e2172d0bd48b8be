/**
 * Kilometres a tonne against days of overflow, a mark a policy. Places are per cent of the width and pixels of the
 * height, so that one drawing fits a desk and a phone and its text keeps its size.
 */
import { scaleLinear } from 'd3-scale';
import type { PolicyName } from '../../core/simulation/policies.ts';
import type { Estimate } from '../../core/simulation/report.ts';
import type { PolicyWorth, WorthComparison, WorthFigure } from '../../usecases/compare-worth.ts';
import { number } from '../shared/format.ts';
import { figureAmount, POLICY_WORDS } from '../shared/worth-words.ts';
import { at2 } from './day-scale.ts';
import { per } from './marks.tsx';

export type WorthPictureProps = { readonly comparison: WorthComparison; readonly currency: string };

export const highest = ({ mean, high }: Estimate): number => high ?? mean;
const lowest = ({ mean, low }: Estimate): number => Math.max(0, low ?? mean);

const FRONT_PX = 340;
const FOOT_PX = 44;
const LEFT = 11;
/** Names keep this distance, so that two policies that are alike can both be read. */
const LABEL_PX = 17;

const SHAPES: { readonly [name in PolicyName]: string } = {
  planner: 'M-7 0A7 7 0 1 1 7 0A7 7 0 1 1 -7 0Z',
  fixed: 'M-6 -6H6V6H-6Z',
  call: 'M0 -7.5L7 5.5H-7Z',
  fullest: 'M0 -8L8 0L0 8L-8 0Z',
  nearest: 'M-7 -5.5H7L0 7.5Z',
};

const Shape = ({ policy, x, y }: { readonly policy: PolicyName; readonly x: number; readonly y: number }) => (
  <svg x={per(x)} y={at2(y)} width="1" height="1" overflow="visible" class={markClass(policy)}>
    <title>{POLICY_WORDS[policy].name}</title>
    <path d={SHAPES[policy]} />
  </svg>
);
const markClass = (policy: PolicyName): string =>
  policy === 'planner' ? 'worth-mark worth-ours' : 'worth-mark';

export const FrontPicture = ({ comparison, currency }: WorthPictureProps) => {
  const { policies } = comparison;
  const of = (figure: WorthFigure) => policies.map((policy) => policy.figures[figure]);
  const xTop = Math.max(...of('overflowDays').map(highest)) * 1.05 || 1;
  const yTop = Math.max(...of('kmPerTonne').map(highest)) * 1.03;
  const yLow = Math.min(...of('kmPerTonne').map(lowest)) * 0.97;
  const x = (days: number): number => LEFT + ((99 - LEFT) * days) / xTop;
  const y = (kmPerTonne: number): number =>
    8 + (FRONT_PX - 8) * (1 - (kmPerTonne - yLow) / Math.max(1e-9, yTop - yLow));
  return (
    <figure>
      <svg
        class="worth-front"
        width="100%"
        height={FRONT_PX + FOOT_PX}
        role="img"
        aria-label={`Kilometres a tonne against days of overflow a year. ${policies
          .map(
            ({ policy, figures }) =>
              `${POLICY_WORDS[policy].name}: ${figureAmount('kmPerTonne', figures.kmPerTonne.mean, currency)}, ${figureAmount('overflowDays', figures.overflowDays.mean, currency)}`,
          )
          .join('; ')}.`}
      >
        <Axes x={x} y={y} xTop={xTop} yLow={yLow} yTop={yTop} />
        {policies.map(({ figures: { overflowDays, kmPerTonne } }) => (
          <>
            <line
              class="worth-range"
              x1={per(x(lowest(overflowDays)))}
              x2={per(x(highest(overflowDays)))}
              y1={at2(y(kmPerTonne.mean))}
              y2={at2(y(kmPerTonne.mean))}
            />
            <line
              class="worth-range"
              x1={per(x(overflowDays.mean))}
              x2={per(x(overflowDays.mean))}
              y1={at2(y(lowest(kmPerTonne)))}
              y2={at2(y(highest(kmPerTonne)))}
            />
          </>
        ))}
        {policies.map(({ policy, figures }) => (
          <Shape policy={policy} x={x(figures.overflowDays.mean)} y={y(figures.kmPerTonne.mean)} />
        ))}
        {labelsOf(policies, x, y).map(({ policy, xAt, yAt, isLeft }) => (
          <text
            class={policy === 'planner' ? 'worth-label worth-label-ours' : 'worth-label'}
            x={per(xAt)}
            y={at2(yAt)}
            dx={isLeft ? -13 : 13}
            dy="-7"
            text-anchor={isLeft ? 'end' : 'start'}
          >
            {POLICY_WORDS[policy].name}
          </text>
        ))}
      </svg>
      <figcaption class="small soft">
        Lower and further to the left is better. A rule that is beaten in one may win in the other: what a day
        of overflow is worth is yours to say, under <a href="/settings#overflow">Settings</a>. Lines: the
        range of the mean.
      </figcaption>
    </figure>
  );
};

type Scale = (value: number) => number;

const Axes = ({
  x,
  y,
  xTop,
  yLow,
  yTop,
}: {
  readonly x: Scale;
  readonly y: Scale;
  readonly xTop: number;
  readonly yLow: number;
  readonly yTop: number;
}) => (
  <>
    {scaleLinear()
      .domain([yLow, yTop])
      .ticks(5)
      .map((tick) => (
        <>
          <line class="grid" x1={per(LEFT)} x2="100%" y1={at2(y(tick))} y2={at2(y(tick))} />
          <text x={per(LEFT)} dx="-6" y={at2(y(tick) + 4)} text-anchor="end">
            {number(tick)}
          </text>
        </>
      ))}
    {scaleLinear()
      .domain([0, xTop])
      .ticks(4)
      .map((tick) => (
        <>
          <line class="grid" x1={per(x(tick))} x2={per(x(tick))} y1="8" y2={FRONT_PX} />
          <text x={per(x(tick))} y={FRONT_PX + 17} text-anchor={x(tick) > 95 ? 'end' : 'middle'}>
            {number(tick)}
          </text>
        </>
      ))}
    <line class="ground" x1={per(LEFT)} x2="100%" y1={FRONT_PX} y2={FRONT_PX} />
    <text class="worth-axis" x={per(LEFT)} dx="6" y="20">
      km for each tonne
    </text>
    <text class="worth-axis" x="100%" y={FRONT_PX + 38} text-anchor="end">
      days of overflow a year, all sites
    </text>
  </>
);

/** A name beside its mark, on the side where there is room, pushed down where it would lie on another. */
function labelsOf(policies: readonly PolicyWorth[], x: Scale, y: Scale) {
  const labels = policies
    .map(({ policy, figures }) => {
      const xAt = x(figures.overflowDays.mean);
      return { policy, xAt, yAt: y(figures.kmPerTonne.mean), isLeft: xAt > 55 };
    })
    .sort((a, b) => a.yAt - b.yAt);
  labels.forEach((label, i) => {
    for (const above of labels.slice(0, i))
      if (above.isLeft === label.isLeft && Math.abs(above.xAt - label.xAt) < 45)
        label.yAt = Math.max(label.yAt, above.yAt + LABEL_PX);
  });
  return labels;
}
