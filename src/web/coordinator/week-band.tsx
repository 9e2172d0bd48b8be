/** The workshop's own band: the store's stock as a fan against production's draw, and a small one per grade. */
import { scaleLinear } from 'd3-scale';
import { dayShort, kg, kgRange, number } from '../shared/format.ts';
import { LONG_COVER } from './build-week-sheet.ts';
import { type DayColumn, dayScale } from './day-scale.ts';
import { fanPath, kgScale, linePath } from './fan.ts';
import { Mark, per, Stretch } from './marks.tsx';
import { cover, isShort, shortWords } from './stock-words.ts';
import type { StockColumn, StockLine } from './week-sheet-view.ts';
import { DayRules } from './week-strip.tsx';

const BAND_PX = 208;
const GRADE_PX = 46;
/** The limit is drawn to scale unless that would flatten everything else. */
const LIMIT_IN_SIGHT = 1.7;

type BandProps = {
  readonly line: StockLine;
  readonly days: readonly DayColumn[];
  readonly storeLimitKg: number;
};

/** Morning of the first day, then every evening. */
function pointsOf(line: StockLine, days: readonly DayColumn[]) {
  const first = days[0]!;
  return [
    { at: first.startsAt, kg: line.openingKg, lowKg: line.openingKg, highKg: line.openingKg },
    ...line.days.map((day, i) => ({
      at: days[i]!.endsAt,
      kg: day.stockKg,
      lowKg: Math.max(0, day.lowKg),
      highKg: day.highKg,
    })),
  ];
}

const topOf = (line: StockLine): number =>
  Math.max(1, line.openingKg, ...line.days.flatMap((day) => [day.highKg, day.drawKg * 1.15]));

export const BandChart = ({ line, days, storeLimitKg }: BandProps) => {
  const inSight = storeLimitKg <= topOf(line) * LIMIT_IN_SIGHT;
  const topKg = (inSight ? Math.max(topOf(line), storeLimitKg) : topOf(line)) * 1.08;
  const yOf = (massKg: number) => BAND_PX * (1 - massKg / topKg);
  const ticks = scaleLinear()
    .domain([0, topKg])
    .ticks(4)
    .filter((tick) => tick > 0 && tick < topKg * 0.96 && Math.abs(tick - storeLimitKg) > topKg * 0.07);
  return (
    <svg class="row-chart" width="100%" height={BAND_PX} role="img" aria-label={spoken(line, days)}>
      {ticks.map((tick) => (
        <>
          <line class="grid" x1="0" x2="100%" y1={yOf(tick)} y2={yOf(tick)} />
          <text class="axis-text" x="0" dx="4" y={yOf(tick) - 3}>
            {kg(tick)}
          </text>
        </>
      ))}
      <DayRules days={days} fromPx={0} untilPx={BAND_PX} />
      <Draw line={line} yOf={yOf} basePx={BAND_PX} />
      <StockFan line={line} days={days} topKg={topKg} height={BAND_PX} />
      {line.days.map((day, i) => (
        <StockDot day={day} x={(100 * (i + 1)) / days.length} yPx={yOf(day.stockKg)} column={days[i]!} />
      ))}
      {inSight && (
        <>
          <line class="limit" x1="0" x2="100%" y1={yOf(storeLimitKg)} y2={yOf(storeLimitKg)} />
          <text class="limit-text" x="100%" dx="-4" y={yOf(storeLimitKg) - 5} text-anchor="end">
            store limit {kg(storeLimitKg)}
          </text>
        </>
      )}
      <ShortMarks line={line} days={days} yPx={BAND_PX - 10} />
    </svg>
  );
};

const StockDot = ({
  day,
  x,
  yPx,
  column,
}: {
  readonly day: StockColumn;
  readonly x: number;
  readonly yPx: number;
  readonly column: DayColumn;
}) => (
  <circle class="stock-dot" cx={per(x)} cy={yPx} r="3.2">
    <title>{`${dayShort(column.day)}, evening: about ${kg(day.stockKg)} (${kgRange(day.lowKg, day.highKg)})`}</title>
  </circle>
);

const StockFan = ({
  line,
  days,
  topKg,
  height,
}: {
  readonly line: StockLine;
  readonly days: readonly DayColumn[];
  readonly topKg: number;
  readonly height: number;
}) => {
  const x = dayScale(days);
  const y = kgScale(topKg);
  const points = pointsOf(line, days);
  return (
    <Stretch height={height}>
      <path class="fan fan-stock" d={fanPath(points, x, y)} />
      <path class="middle middle-stock" d={linePath(points, x, y)} />
    </Stretch>
  );
};

/** What production takes, a step a day, on the same scale as the stock above it. */
const Draw = ({
  line,
  yOf,
  basePx,
}: {
  readonly line: StockLine;
  readonly yOf: (massKg: number) => number;
  readonly basePx: number;
}) => (
  <>
    {line.days.map((day, i) => {
      if (day.drawKg <= 0) return null;
      const x = (100 * i) / line.days.length;
      const width = 100 / line.days.length;
      return (
        <>
          <rect
            class="draw"
            x={per(x)}
            width={per(width)}
            y={yOf(day.drawKg)}
            height={basePx - yOf(day.drawKg)}
          >
            <title>{`Production takes ${kg(day.drawKg)}`}</title>
          </rect>
          <line class="draw-edge" x1={per(x)} x2={per(x + width)} y1={yOf(day.drawKg)} y2={yOf(day.drawKg)} />
        </>
      );
    })}
  </>
);

const ShortMarks = ({
  line,
  days,
  yPx,
}: {
  readonly line: StockLine;
  readonly days: readonly DayColumn[];
  readonly yPx: number;
}) => (
  <>
    {line.days.map((day, i) =>
      isShort(day) ? (
        <Mark kind="short" x={(100 * (i + 0.5)) / days.length} yPx={yPx} title={shortWords(day)} />
      ) : null,
    )}
  </>
);

/** One grade, the same drawing in small. */
export const GradeRow = ({
  line,
  days,
}: {
  readonly line: StockLine;
  readonly days: readonly DayColumn[];
}) => {
  const topKg = topOf(line) * 1.1;
  const yOf = (massKg: number) => GRADE_PX * (1 - massKg / topKg);
  const firstShort = line.days.findIndex(isShort);
  const lowest = Math.min(...line.days.map((day) => day.coverDays));
  return (
    <li class="row grade whole">
      <div class="row-label">
        <p class="grade-name">{line.name}</p>
        <p class={firstShort >= 0 ? 'strip-risk loud' : 'strip-risk'}>
          {firstShort >= 0
            ? `runs short ${dayShort(days[firstShort]!.day)}`
            : `cover ${cover(lowest)} at the lowest`}
        </p>
        <p class="strip-risk">{kg(line.openingKg)} at the start</p>
      </div>
      <svg class="row-chart" width="100%" height={GRADE_PX} role="img" aria-label={spoken(line, days)}>
        <DayRules days={days} fromPx={0} untilPx={GRADE_PX} />
        <Draw line={line} yOf={yOf} basePx={GRADE_PX} />
        <StockFan line={line} days={days} topKg={topKg} height={GRADE_PX} />
        <ShortMarks line={line} days={days} yPx={12} />
      </svg>
    </li>
  );
};

/** The band's numbers, a column a day, as a tide table has them. */
export const StockTable = ({
  line,
  days,
  dated = false,
}: {
  readonly line: StockLine;
  readonly days: readonly DayColumn[];
  /** Prints the days above the numbers, where no head of the sheet does. */
  readonly dated?: boolean;
}) => (
  <table class="tide">
    <caption class="unseen">{line.name} in the store, day by day</caption>
    <colgroup>
      <col class="tide-label" />
      <col span={days.length} />
    </colgroup>
    <thead class={dated ? undefined : 'unseen'}>
      <tr>
        <td />
        {days.map(({ day }) => (
          <th scope="col">{dayShort(day)}</th>
        ))}
      </tr>
    </thead>
    <tbody>
      <TideRow name="Collected, kg" cells={line.days.map((day) => amount(day.arrivingKg))} />
      <TideRow name="Drawn, kg" cells={line.days.map((day) => amount(day.drawKg))} />
      <TideRow
        name="In store at night, kg"
        cells={line.days.map((day) => number(day.stockKg))}
        under={line.days.map((day) => `${number(day.lowKg)}–${number(day.highKg)}`)}
        strong
      />
      <TideRow
        name="Cover, days"
        cells={line.days.map((day) =>
          day.coverDays >= LONG_COVER ? `${LONG_COVER}+` : number(day.coverDays),
        )}
      />
    </tbody>
  </table>
);

/** Nothing is a dash: a column of noughts hides the days that matter. */
const amount = (massKg: number): string => (massKg < 0.5 ? '–' : number(massKg));

const TideRow = ({
  name,
  cells,
  under,
  strong = false,
}: {
  readonly name: string;
  readonly cells: readonly string[];
  readonly under?: readonly string[];
  readonly strong?: boolean;
}) => (
  <tr class={strong ? 'tide-strong' : undefined}>
    <th scope="row">{name}</th>
    {cells.map((cell, i) => (
      <td>
        {cell}
        {under && <small>{under[i]}</small>}
      </td>
    ))}
  </tr>
);

function spoken(line: StockLine, days: readonly DayColumn[]): string {
  const nights = line.days.map((day, i) => `${dayShort(days[i]!.day)} ${kg(day.stockKg)}`);
  return `${line.name} in the store: ${kg(line.openingKg)} at the start; at night ${nights.join(', ')}.`;
}
