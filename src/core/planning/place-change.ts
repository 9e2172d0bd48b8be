/** Where a stop goes that a person adds or moves: as asked, else where it costs least, even where that is too much. */
import { makeInserter, type Place } from './insertion.ts';
import { MAX_STOPS, UNLOAD } from './steps.ts';
import type { Week, WeekShift } from './week.ts';
import { copyState, emptyState, insertStop, nodeBefore, roundFits, type WeekState } from './week-state.ts';

type ChosenPlace = Pick<Place, 'shift' | 'at' | 'unload'>;
/** What cannot be placed at all. */
type NoPlace = 'closed' | 'no-shift' | 'hours-missed';

const DAY_S = 86_400;

/** A shift that may end a day later: to say by how much a round is too long. */
export const prolonged = (shift: WeekShift): WeekShift => ({ ...shift, lastS: shift.lastS + DAY_S });

/** The place may overfill the van or the shift; the caller looks. */
export function placeFor(
  state: WeekState,
  site: number,
  day: number,
  shift: number | undefined,
  position: number | undefined,
): ChosenPlace | NoPlace {
  const { week } = state;
  if (week.spans[site * week.days + day]!.length === 0) return 'closed';
  const shifts = week.shiftsOfDay[day]!.filter((s) => shift === undefined || s === shift);
  if (shifts.length === 0) return 'no-shift';
  if (position !== undefined) return placeAt(state, site, shifts, position);
  return (
    cheapest(state, week, site, day, shifts) ??
    cheapest(state, { ...week, shifts: week.shifts.map(prolonged) }, site, day, shifts) ??
    'hours-missed'
  );
}

/** The cheapest place that fits, else the cheapest that overfills the van. */
function cheapest(
  state: WeekState,
  week: Week,
  site: number,
  day: number,
  shifts: readonly number[],
): ChosenPlace | undefined {
  const inserter = makeInserter();
  const shiftsOfDay = week.shiftsOfDay.map((all, d) => (d === day ? shifts : all));
  const only: WeekState = { ...state, week: { ...week, shiftsOfDay } };
  const places = inserter.scanDay(only, site, day);
  const table = week.tables[site]!;
  const at = nodeBefore(state.visitDays[site]!, day) * table.nodes + day + 1;
  const place = inserter.cheapestPlace(only, places, site, table.massKg[at]!, table.varianceKg2[at]!);
  if (place && place.micros < Infinity) return place;
  const inTime = places.plain.filter(({ micros }) => micros < Infinity);
  return inTime.sort((a, b) => a.micros - b.micros)[0];
}

/** With `position - 1` sites before it: beside an unloading on its cheaper side, with a new one where it fits no other way. */
function placeAt(state: WeekState, site: number, shifts: readonly number[], position: number): ChosenPlace {
  const trial = emptyState(state.week);
  const microsWith = (place: ChosenPlace): { micros: number; fits: boolean } => {
    copyState(trial, state);
    insertStop(trial, place.shift, place.at, site, place.unload);
    const micros = trial.roundMicros[place.shift]! - state.roundMicros[place.shift]!;
    return { micros, fits: roundFits(trial, place.shift) };
  };
  const tried = shifts
    .flatMap((shift) => placesAt(state, shift, position))
    .map((place) => ({ place, ...microsWith(place) }))
    .sort((a, b) => a.micros - b.micros || a.place.unload - b.place.unload);
  const inTime = tried.filter(({ micros }) => micros < Infinity);
  const whole = inTime.filter(({ place }) => place.unload === 0);
  const best =
    whole.find(({ fits }) => fits) ?? inTime.find(({ fits }) => fits) ?? whole[0] ?? inTime[0] ?? tried[0]!;
  return best.place;
}

function placesAt({ orders, counts }: WeekState, shift: number, position: number): ChosenPlace[] {
  const base = shift * MAX_STOPS;
  const count = counts[shift]!;
  const isUnload = (k: number): boolean => k >= 0 && k < count && orders[base + k] === UNLOAD;
  let sites = 0;
  for (let k = 0; k < count; k++) if (!isUnload(k)) sites++;
  const before = Math.min(sites, position - 1);
  const places: ChosenPlace[] = [];
  for (let at = 0, seen = 0; at <= count; at++) {
    if (seen === before) {
      places.push({ shift, at, unload: 0 });
      if (at > 0 && !isUnload(at - 1)) places.push({ shift, at, unload: 1 });
      if (at < count && !isUnload(at)) places.push({ shift, at, unload: 2 });
    }
    if (at < count && !isUnload(at)) seen++;
  }
  return places;
}
