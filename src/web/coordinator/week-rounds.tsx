/** The foot of each day: its rounds, set like a timetable. */
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
import { type Locale, MONEY_WORDS, moneyParts, stopReason, stopReasonShort } from '../shared/words.ts';
import type { DayColumn } from './day-scale.ts';
import { Gauge } from './gauge.tsx';
import type { RoundFoot } from './week-sheet-view.ts';

type FootProps = {
  readonly days: readonly DayColumn[];
  readonly rounds: readonly RoundFoot[];
  readonly siteNames: { readonly [siteId: string]: string };
  readonly locale: Locale;
  readonly planId?: string;
};

export const DayFeet = ({ days, rounds, siteNames, locale, planId }: FootProps) => (
  <div class="feet">
    {days.map(({ day }) => {
      const own = rounds.filter(({ round }) => round.day === day);
      return (
        <section class="foot-day" aria-label={`Rounds of ${dayLong(day)}`}>
          <h3 class="foot-head">{dayShort(day)}</h3>
          {own.length === 0 ? (
            <p class="soft small">No round</p>
          ) : (
            <>
              {own.map((foot) => (
                <RoundColumn foot={foot} siteNames={siteNames} locale={locale} />
              ))}
              {planId !== undefined && (
                <p class="round-line on-screen">
                  <a href={`/map?day=${day}&plan=${planId}`}>On the map</a>
                </p>
              )}
            </>
          )}
        </section>
      );
    })}
  </div>
);

/** A chance of filling up early that is worth a line. */
const TELL_RISK = 0.02;

type ColumnProps = {
  readonly foot: RoundFoot;
  readonly siteNames: FootProps['siteNames'];
  readonly locale: Locale;
};

export const RoundColumn = ({ foot, siteNames, locale }: ColumnProps) => {
  const { round } = foot;
  return (
    <article class="round">
      <h4>
        <a href={`/rounds/${foot.id}`}>{foot.vanName}</a>
      </h4>
      <p class="round-line">
        {foot.driverName}, <span class="nowrap">{timeSpan(round.startAt, round.endAt, locale.zone)}</span>
      </p>
      <p class="round-line">{km(round.distanceM)}</p>
      <RoundGauges foot={foot} />
      {round.fullEarlyRisk >= TELL_RISK && (
        <p class="small round-risk">
          {percent(round.fullEarlyRisk)} chance that the van is full early
          {round.skipFirst[0] !== undefined &&
            `; then leave out ${siteNames[round.skipFirst[0]] ?? 'unknown site'} first`}
        </p>
      )}
      <StopList foot={foot} siteNames={siteNames} locale={locale} />
      <RoundMoney foot={foot} currency={locale.currency} />
    </article>
  );
};

/** "4:26". */
const hours = (seconds: number): string => {
  const minutes = Math.round(seconds / 60);
  return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`;
};

export const RoundGauges = ({ foot: { round } }: { readonly foot: RoundFoot }) => {
  const shiftS = round.shiftEndAt - round.startAt;
  const usedS = round.endAt - round.startAt;
  return (
    <>
      <Gauge name="Time" value={usedS} limit={shiftS} text={`${hours(usedS)} of ${hours(shiftS)}\u00a0h`} />
      <Gauge
        name="Load"
        value={round.loadKg}
        cautious={round.cautiousLoadKg}
        limit={round.payloadKg}
        text={`${number(round.loadKg)} of ${kg(round.payloadKg)}`}
      />
      <Gauge
        name="Space"
        value={round.loadL}
        cautious={round.cautiousLoadL}
        limit={round.loadSpaceL}
        text={`${number(round.loadL)} of ${litres(round.loadSpaceL)}`}
      />
    </>
  );
};

const StopList = ({ foot, siteNames, locale }: ColumnProps) => (
  <ol class="stops">
    {foot.round.stops.map((stop) => (
      <li class={`stop stop-${stop.kind}`}>
        <span class="stop-time">{time(stop.startAt, locale.zone)}</span>
        <span class="stop-what">
          {stop.kind === 'site' && stop.siteId !== undefined ? (
            <>
              <a href={`/rounds/${foot.id}#${stop.siteId}`}>{siteNames[stop.siteId] ?? 'Unknown site'}</a>
              {stop.reason && (
                <small title={stopReason(stop.reason, locale)}>{stopReasonShort(stop.reason, locale)}</small>
              )}
            </>
          ) : stop.kind === 'unload' ? (
            'Unload at the workshop'
          ) : (
            `Break, ${duration(stop.departAt - stop.startAt)}`
          )}
        </span>
      </li>
    ))}
  </ol>
);

const RoundMoney = ({ foot, currency }: { readonly foot: RoundFoot; readonly currency: string }) => (
  <details class="round-money">
    <summary>
      {money(
        Object.values(foot.round.money).reduce((sum, part) => sum + part, 0),
        currency,
      )}
    </summary>
    <ul class="parts">
      {moneyParts(foot.round.money).map(({ part, micros }) => (
        <li>
          <span>{MONEY_WORDS[part].name}</span> <span class="nowrap">{money(micros, currency)}</span>
        </li>
      ))}
    </ul>
  </details>
);
