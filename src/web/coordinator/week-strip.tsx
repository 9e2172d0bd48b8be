/** One site over the week: its fill as a fan toward the brim, falling where a visit takes it away. */
import { kg, percent, time, timeSpan, weekday } from '../shared/format.ts';
import { EVENT_WORDS } from '../shared/words.ts';
import { at2, type DayColumn, dayScale } from './day-scale.ts';
import { BOX_W, fanPath, kgScale, linePath } from './fan.ts';
import { Mark, per, Stretch } from './marks.tsx';
import type { SiteMark, SiteStrip } from './week-sheet-view.ts';

/** The strip reaches this far above the brim, in capacities; what stands higher is cut off. */
const HEADROOM = 1.6;
export const BRIM_Y = kgScale(HEADROOM)(1);
const TOP_PX = 15;
const CHART_PX = 48;
const FOOT_PX = 13;
export const STRIP_PX = TOP_PX + CHART_PX + FOOT_PX;
/** From this chance on an overflow is said loudly. */
export const LOUD_RISK = 0.2;

type StripProps = { readonly strip: SiteStrip; readonly days: readonly DayColumn[]; readonly zone: string };

export const StripRow = ({ strip, days, zone }: StripProps) => (
  <li class="row strip whole">
    <div class="row-label">
      <p class="strip-name">
        <a href={`/sites/${strip.siteId}`}>{strip.name}</a>
      </p>
      <p class="strip-place">{strip.place}</p>
      <p class={strip.overflowRisk >= LOUD_RISK ? 'strip-risk loud' : 'strip-risk'}>
        {strip.overflowRisk < 0.005
          ? 'No overflow in sight'
          : `${percent(strip.overflowRisk)} overflow chance by ${weekday(strip.riskDay)}`}
      </p>
    </div>
    <div class="strip-chart" data-strip={strip.siteId} data-name={strip.name}>
      <StripChart strip={strip} days={days} zone={zone} />
    </div>
  </li>
);

const StripChart = ({ strip, days, zone }: StripProps) => {
  const x = dayScale(days);
  const y = kgScale(strip.capacityKg * HEADROOM);
  const fans = strip.fans.flatMap((points) => [
    fanPath(points, x, y),
    fanPath(
      points.map(({ at, q25Kg, q75Kg }) => ({ at, lowKg: q25Kg, highKg: q75Kg })),
      x,
      y,
    ),
  ]);
  const middles = strip.fans.map((points) =>
    linePath(
      points.map((p) => ({ at: p.at, kg: p.medianKg })),
      x,
      y,
    ),
  );
  const brimPx = TOP_PX + (BRIM_Y / 100) * CHART_PX;
  return (
    <svg class="row-chart" width="100%" height={STRIP_PX} role="img" aria-label={spoken(strip, zone)}>
      <Closed strip={strip} x={x} />
      <DayRules days={days} fromPx={TOP_PX} untilPx={TOP_PX + CHART_PX} />
      <Stretch y={TOP_PX} height={CHART_PX}>
        {fans.map((d) => (
          <>
            <path class="fan fan-fill" d={d} clip-path="url(#under-brim)" />
            <path class="fan fan-over" d={d} clip-path="url(#over-brim)" />
          </>
        ))}
        {middles.map((d) => (
          <path class="middle middle-fill" d={d} />
        ))}
        <path class="ground" d={`M0 99.5H${BOX_W}`} />
      </Stretch>
      <line class="brim" x1="0" x2="100%" y1={brimPx} y2={brimPx} />
      {strip.marks.map((mark) => (
        <StripMark mark={mark} x={x} days={days} zone={zone} />
      ))}
      <text class="brim-text" x="100%" dx="-3" y={brimPx - 3} text-anchor="end">
        brim {kg(strip.capacityKg)}
      </text>
    </svg>
  );
};

/** A hairline where one day meets the next. */
export const DayRules = ({
  days,
  fromPx,
  untilPx,
}: {
  readonly days: readonly DayColumn[];
  readonly fromPx: number;
  readonly untilPx: number;
}) => (
  <>
    {days.slice(1).map((_, i) => {
      const x = per((100 * (i + 1)) / days.length);
      return <line class="day-rule" x1={x} x2={x} y1={fromPx} y2={untilPx} />;
    })}
  </>
);

const Closed = ({ strip, x }: { readonly strip: SiteStrip; readonly x: (at: number) => number }) => (
  <>
    {strip.marks
      .filter((mark) => mark.kind === 'closed')
      .map(({ fromAt, untilAt }) => (
        <rect
          class="closed"
          x={per(x(fromAt))}
          width={per(x(untilAt) - x(fromAt))}
          y={TOP_PX}
          height={CHART_PX}
          fill="url(#hatch)"
        >
          <title>Closed: no van can call</title>
        </rect>
      ))}
  </>
);

const LANE_PX = TOP_PX + CHART_PX + 7;

const StripMark = ({
  mark,
  x,
  days,
  zone,
}: {
  readonly mark: SiteMark;
  readonly x: (at: number) => number;
  readonly days: readonly DayColumn[];
  readonly zone: string;
}) => {
  if (mark.kind === 'closed') return null;
  const title = markWords(mark, zone);
  if (mark.kind === 'visit') {
    const at = x(mark.at);
    // Near the right edge the label turns around, so that it is never cut.
    const turned = at > 94;
    const day = days.find(({ startsAt, endsAt }) => mark.at >= startsAt && mark.at < endsAt)?.day;
    return (
      <g data-visit={day} data-x={at2(at)}>
        <line class="visit-line" x1={per(at)} x2={per(at)} y1="8" y2={TOP_PX + CHART_PX} />
        <Mark kind="visit" x={at} yPx={7} title={title} />
        <text
          class="visit-text"
          x={per(at)}
          dx={turned ? -9 : 9}
          y="11"
          text-anchor={turned ? 'end' : 'start'}
        >
          {kg(mark.expectedKg)}
        </text>
      </g>
    );
  }
  const from = x(mark.fromAt);
  const until = x(mark.untilAt);
  return (
    <>
      <line class={`span span-${mark.kind}`} x1={per(from)} x2={per(until)} y1={LANE_PX} y2={LANE_PX} />
      <Mark kind={mark.kind} x={(from + until) / 2} yPx={LANE_PX} title={title} />
    </>
  );
};

/** "Promised: Tue 25 Nov, 09:00–11:00". */
export function markWords(mark: SiteMark, zone: string): string {
  switch (mark.kind) {
    case 'visit':
      return `Visit at ${time(mark.at, zone)}: about ${kg(mark.expectedKg)} taken away`;
    case 'promise':
      return `Promised pickup, ${timeSpan(mark.fromAt, mark.untilAt, zone)}`;
    case 'usual':
      return `Usual pickup, may move, ${timeSpan(mark.fromAt, mark.untilAt, zone)}`;
    case 'booking':
      return `Booked by the donor, ${timeSpan(mark.fromAt, mark.untilAt, zone)}`;
    case 'surge':
      return `Surge after a ${EVENT_WORDS[mark.eventKind]}: about ${kg(mark.expectedKg)} more`;
    case 'closed':
      return 'Closed';
  }
}

/** The strip in one sentence, for those who do not see it. */
function spoken(strip: SiteStrip, zone: string): string {
  const visits = strip.marks.filter((mark) => mark.kind === 'visit');
  const last = strip.fans.at(-1)?.at(-1);
  const parts = [
    `${strip.name}: about ${kg(strip.nowKg)} of ${kg(strip.capacityKg)} at the start`,
    ...visits.map((visit) => markWords(visit, zone)),
    ...(last ? [`about ${kg(last.medianKg)} at the end`] : []),
    `chance of overflow ${percent(strip.overflowRisk)}`,
  ];
  return `${parts.join('; ')}.`;
}
