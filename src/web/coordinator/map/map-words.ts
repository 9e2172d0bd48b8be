/** What the map says in words: beside a mark, on hovering it, and in the list beside it. */
import type { Instant } from '../../../core/quantity/units.ts';
import { dayShort, duration, kg, kgRange, km, litres, time, timeSpan } from '../../shared/format.ts';
import { type Locale, stopReason } from '../../shared/words.ts';
import type { MapRound, MapStop, WaitingSite } from './map-view.ts';

/** A window that opens before and closes after the whole round binds nobody, and is left out beside the mark. */
const binds = (round: MapRound, windows: readonly { fromAt: Instant; untilAt: Instant }[]): boolean =>
  windows.length > 0 &&
  !windows.some(({ fromAt, untilAt }) => fromAt <= round.startAt && untilAt >= round.endAt);

export const windowWords = ({ windows, isPromise }: MapStop, zone: string): string =>
  windows.length === 0
    ? 'any time'
    : `${isPromise ? 'promised' : 'open'} ${windows.map(({ fromAt, untilAt }) => timeSpan(fromAt, untilAt, zone)).join(', ')}`;

/** "08:20", "08:20, promised 08:00–10:00". */
export const besideMark = (round: MapRound, stop: MapStop, zone: string): string =>
  stop.isPromise || binds(round, stop.windows)
    ? `${time(stop.startAt, zone)}, ${windowWords(stop, zone)}`
    : time(stop.startAt, zone);

/** All there is to know of a stop, a fact a line. */
export const stopFacts = (stop: MapStop, locale: Locale): string[] => [
  `${timeSpan(stop.startAt, stop.departAt, locale.zone)}, ${windowWords(stop, locale.zone)}`,
  `About ${kg(stop.expectedKg)} (${kgRange(stop.lowKg, stop.highKg)}), ${litres(stop.expectedL)}`,
  ...(stop.reason ? [stopReason(stop.reason, locale)] : []),
];

export const waitingFacts = ({ nextDay }: WaitingSite): string =>
  nextDay === undefined
    ? 'Not visited on this day, nor later in this plan'
    : `Not visited on this day; next ${dayShort(nextDay)}`;

/** "Kite, Ina Quarrell". */
export const roundName = ({ vanName, driverName }: MapRound): string =>
  driverName === '' ? vanName : `${vanName}, ${driverName}`;

export const roundFacts = (round: MapRound, zone: string): string =>
  [
    timeSpan(round.startAt, round.endAt, zone),
    km(round.distanceM),
    `${round.stops.length} ${round.stops.length === 1 ? 'stop' : 'stops'}`,
    ...(round.unloadings > 1 ? [`${round.unloadings} times to unload`] : []),
    duration(round.endAt - round.startAt),
  ].join(' · ');

/** The mark of a stop: its number, with the round's letter before it where there are several. */
export const plateText = (round: MapRound, stop: MapStop, several: boolean): string =>
  several ? `${round.letter}${stop.number}` : String(stop.number);
