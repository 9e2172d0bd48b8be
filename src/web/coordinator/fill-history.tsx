/** A site's fill over time: the saw-tooth of what was weighed, and the forecast with its intervals to the brim. */
import { scaleLinear } from 'd3-scale';
import { dayShort, dayYearShort, kg, kgRange, localDay, percent } from '../shared/format.ts';
import { levelChangeWords } from '../shared/words.ts';
import { at2 } from './day-scale.ts';
import { BOX_H, BOX_W, fanPath, kgScale, linePath } from './fan.ts';
import { per, SheetDefs, Stretch } from './marks.tsx';
import type { ForecastPoint, SiteView } from './site-view.ts';

const CHART_PX = 300;
const DAY_S = 86_400;
type Quantile = Exclude<keyof ForecastPoint, 'at'>;
const BANDS: readonly (readonly [Quantile, Quantile, string])[] = [
  ['q025', 'q975', 'fan-95'],
  ['q10', 'q90', ''],
  ['q25', 'q75', ''],
];
/** As much past as is readable on a page. */
const PAST_DAYS = 56;

export const FillHistory = ({ view }: { readonly view: SiteView }) => {
  const { forecast, capacityKg, nowAt, workshop } = view;
  const first = forecast[0];
  const last = forecast.at(-1);
  if (!first || !last) return null;
  const weighed = view.weighIns
    .filter((row) => row.at >= nowAt - PAST_DAYS * DAY_S)
    // Where nobody weighed, what the estimate takes it for: bags by their mass, "found full" as the brim.
    .flatMap((row) => {
      const drawnKg = row.netKg ?? row.expected?.kg;
      return drawnKg === undefined ? [] : [{ ...row, netKg: drawnKg, isWeighed: row.netKg !== undefined }];
    })
    .sort((a, b) => a.at - b.at);
  const startAt = Math.min(first.at, weighed[0]?.at ?? first.at) - 5 * DAY_S;
  const span = last.at - startAt;
  const x = (at: number) => (100 * (at - startAt)) / span;
  const topKg =
    1.08 *
    Math.max(
      capacityKg * 1.15,
      ...weighed.map((row) => Math.min(row.netKg, 3 * capacityKg)),
      Math.min(last.q90, capacityKg * 2.2),
    );
  const y = kgScale(topKg);
  const change = view.basis.levelChange;
  const px = (massKg: number) => (y(massKg) / BOX_H) * CHART_PX;
  const band = (low: Quantile, high: Quantile) =>
    fanPath(
      forecast.map((p) => ({ at: p.at, lowKg: p[low], highKg: p[high] })),
      x,
      y,
    );
  const ticks = scaleLinear()
    .domain([0, topKg])
    .ticks(4)
    .filter((t) => t > 0 && Math.abs(t - capacityKg) > topKg * 0.06);
  return (
    <figure class="history">
      <SheetDefs brimY={y(capacityKg)} />
      <svg class="row-chart" width="100%" height={CHART_PX} role="img" aria-label={spoken(view)}>
        {ticks.map((tick) => (
          <>
            <line class="grid" x1="0" x2="100%" y1={at2(px(tick))} y2={at2(px(tick))} />
            <text x="0" dx="3" y={at2(px(tick) - 3)}>
              {kg(tick)}
            </text>
          </>
        ))}
        <Stretch height={CHART_PX}>
          <path class="saw" d={sawPath(weighed, first, x, y)} />
          {BANDS.map(([low, high, shade]) => (
            <>
              <path class={`fan fan-fill ${shade}`} d={band(low, high)} clip-path="url(#under-brim)" />
              <path class={`fan fan-over ${shade}`} d={band(low, high)} clip-path="url(#over-brim)" />
            </>
          ))}
          <path
            class="middle middle-fill"
            d={linePath(
              forecast.map((p) => ({ at: p.at, kg: p.q50 })),
              x,
              y,
            )}
          />
          <path class="ground" d={`M0 ${BOX_H - 0.3}H${BOX_W}`} />
        </Stretch>
        <line class="brim" x1="0" x2="100%" y1={at2(px(capacityKg))} y2={at2(px(capacityKg))} />
        <text x="0" dx="3" y={at2(px(capacityKg) - 4)} class="visit-text">
          brim {kg(capacityKg)}
        </text>
        {weighed.map(
          ({ at, expected }) =>
            expected && (
              <g class="foretold">
                <line
                  x1={per(x(at))}
                  x2={per(x(at))}
                  y1={at2(px(Math.min(topKg, expected.highKg)))}
                  y2={at2(px(expected.lowKg))}
                />
                <svg
                  x={per(x(at))}
                  y={at2(px(Math.min(topKg, expected.medianKg)))}
                  overflow="visible"
                  aria-hidden="true"
                >
                  <path d="M-5 0H5" />
                </svg>
              </g>
            ),
        )}
        {weighed.map((row) => (
          <WeighedMark row={row} x={per(x(row.at))} yPx={Math.max(6, px(row.netKg))} zone={workshop.zone} />
        ))}
        {change && change.at >= startAt && change.at < nowAt && (
          <>
            <line class="level-line" x1={per(x(change.at))} x2={per(x(change.at))} y1="18" y2={CHART_PX} />
            <text
              class="visit-text"
              x={per(x(change.at))}
              dx={x(change.at) > 50 ? -5 : 5}
              y="28"
              text-anchor={x(change.at) > 50 ? 'end' : 'start'}
            >
              {levelChangeWords(change, workshop.zone)}
            </text>
          </>
        )}
        <line class="now" x1={per(x(nowAt))} x2={per(x(nowAt))} y1="0" y2={CHART_PX} />
        <text
          class="visit-text"
          x={per(x(nowAt))}
          dx={x(nowAt) > 60 ? -5 : 5}
          y="12"
          text-anchor={x(nowAt) > 60 ? 'end' : 'start'}
        >
          now, {dayShort(localDay(nowAt, workshop.zone))}
        </text>
      </svg>
      <p class="history-axis soft small" aria-hidden="true">
        <span>{dayYearShort(localDay(startAt, workshop.zone))}</span>
        <span>{dayYearShort(localDay(last.at, workshop.zone))}</span>
      </p>
      <figcaption class="small soft">
        Dots are weigh-ins, larger where the container was found full, hollow where only bags were counted; a
        cross is one that does not fit. The upright stroke behind each is what was expected just before, four
        chances in five, with its middle. Films ahead: half, four fifths and nineteen of twenty of what may
        come; what is red, above the dashed brim, has no room in the container.
      </figcaption>
    </figure>
  );
};

type Drawn = SiteView['weighIns'][number] & { readonly netKg: number; readonly isWeighed: boolean };

/** A shape of its own for what does not fit, so that colour is never the only difference. */
const WeighedMark = (mark: {
  readonly row: Drawn;
  readonly x: string;
  readonly yPx: number;
  readonly zone: string;
}) => {
  const { row, x, yPx, zone } = mark;
  const isOdd = row.weight !== undefined && row.weight < 0.5;
  const title = [
    `${dayShort(localDay(row.at, zone))}: ${row.isWeighed ? '' : 'about '}${kg(row.netKg)}`,
    row.expected && `expected ${kgRange(row.expected.lowKg, row.expected.highKg)}`,
    row.foundFull && 'found full',
    isOdd && 'does not fit',
    row.confirmed && 'confirmed',
  ]
    .filter(Boolean)
    .join(', ');
  return (
    <svg x={x} y={at2(yPx)} width="1" height="1" overflow="visible">
      <title>{title}</title>
      {isOdd ? (
        <path class="weighed-cross" d="M-6 -6L6 6M-6 6L6 -6" />
      ) : (
        <circle class={row.isWeighed ? 'weighed' : 'weighed weighed-counted'} r={row.foundFull ? 5.5 : 3.6} />
      )}
    </svg>
  );
};

/** Up from empty to what was weighed, and down again; the last tooth ends where the forecast starts. */
function sawPath(
  weighed: readonly { readonly at: number; readonly netKg: number }[],
  first: ForecastPoint,
  x: (at: number) => number,
  y: (massKg: number) => number,
): string {
  const place = (at: number, massKg: number) => `${at2((x(at) * BOX_W) / 100)} ${at2(y(massKg))}`;
  const teeth = weighed.map((row, i) => {
    const before = weighed[i - 1];
    // Nobody knows when the first tooth began to grow, so it is drawn as a drop alone.
    const rise = before
      ? `M${place(before.at, 0)}L${place(row.at, row.netKg)}`
      : `M${place(row.at, row.netKg)}`;
    return `${rise}L${place(row.at, 0)}`;
  });
  const lastAt = weighed.at(-1)?.at;
  const join =
    lastAt !== undefined && lastAt < first.at ? `M${place(lastAt, 0)}L${place(first.at, first.q50)}` : '';
  return teeth.join('') + join;
}

function spoken(view: SiteView): string {
  const now = view.forecast.find((point) => point.at >= view.nowAt) ?? view.forecast.at(-1);
  const weighed = view.weighIns.length;
  const held = (massKg: number): number => Math.min(massKg, view.capacityKg);
  const fill = now
    ? `about ${kg(held(now.q50))} now (${kgRange(held(now.q10), held(now.q90))})`
    : 'no estimate';
  return `Fill of ${view.name}: ${fill}, brim ${kg(view.capacityKg)}, ${weighed} weigh-ins; chance of overflow by ${dayShort(view.riskDay)} ${percent(view.overflowRisk)}.`;
}
