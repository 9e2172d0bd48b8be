/** A site's fill over time: the saw-tooth of what was weighed, and the forecast with its intervals to the brim. */
import { scaleLinear } from 'd3-scale';
import { dayShort, dayYearShort, kg, kgRange, localDay, percent } from '../shared/format.ts';
import { at2 } from './day-scale.ts';
import { BOX_H, BOX_W, fanPath, kgScale, linePath } from './fan.ts';
import { per, Stretch } from './marks.tsx';
import type { ForecastPoint, SiteView } from './site-view.ts';

const CHART_PX = 300;
const DAY_S = 86_400;
type Quantile = Exclude<keyof ForecastPoint, 'at'>;
/** As much past as is readable on a page. */
const PAST_DAYS = 56;

export const FillHistory = ({ view }: { readonly view: SiteView }) => {
  const { forecast, capacityKg, nowAt, workshop } = view;
  const first = forecast[0];
  const last = forecast.at(-1);
  if (!first || !last) return null;
  const weighed = view.weighIns
    .filter((row) => row.at >= nowAt - PAST_DAYS * DAY_S && row.netKg !== undefined)
    .map((row) => ({ ...row, netKg: row.netKg! }))
    .sort((a, b) => a.at - b.at);
  const startAt = Math.min(first.at, weighed[0]?.at ?? first.at) - 5 * DAY_S;
  const span = last.at - startAt;
  const x = (at: number) => (100 * (at - startAt)) / span;
  const topKg =
    1.08 *
    Math.max(capacityKg * 1.15, ...weighed.map((row) => row.netKg), Math.min(last.q90, capacityKg * 2.2));
  const y = kgScale(topKg);
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
          <path class="fan fan-fill fan-95" d={band('q025', 'q975')} />
          <path class="fan fan-fill" d={band('q10', 'q90')} />
          <path class="fan fan-fill" d={band('q25', 'q75')} />
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
        {weighed.map((row) => (
          <circle
            class={row.weight !== undefined && row.weight < 0.5 ? 'weighed weighed-odd' : 'weighed'}
            cx={per(x(row.at))}
            cy={at2(px(row.netKg))}
            r={row.foundFull ? 5.5 : 3.6}
          >
            <title>
              {`${dayShort(localDay(row.at, workshop.zone))}: ${kg(row.netKg)}${row.foundFull ? ', found full' : ''}`}
            </title>
          </circle>
        ))}
        <line class="now" x1={per(x(nowAt))} x2={per(x(nowAt))} y1="0" y2={CHART_PX} />
        <text class="visit-text" x={per(x(nowAt))} dx="5" y="12">
          now, {dayShort(localDay(nowAt, workshop.zone))}
        </text>
      </svg>
      <p class="history-axis soft small" aria-hidden="true">
        <span>{dayYearShort(localDay(startAt, workshop.zone))}</span>
        <span>{dayYearShort(localDay(last.at, workshop.zone))}</span>
      </p>
      <figcaption class="small soft">
        Dots are weigh-ins, larger where the container was found full, hollow where they count for less. Films
        ahead: half, four fifths and nineteen of twenty of what may come. Dashed: the brim.
      </figcaption>
    </figure>
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
  const fill = now ? `about ${kg(now.q50)} now (${kgRange(now.q10, now.q90)})` : 'no estimate';
  return `Fill of ${view.name}: ${fill}, brim ${kg(view.capacityKg)}, ${weighed} weigh-ins; chance of overflow by ${dayShort(view.riskDay)} ${percent(view.overflowRisk)}.`;
}
