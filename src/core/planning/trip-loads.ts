/** What travels on each trip of a round, remembered until the round or a visit before it changes. */
import { MAX_STOPS, UNLOAD } from './steps.ts';
import { tripFits } from './trip-fits.ts';
import { visitMassKg, visitVarianceKg2, type WeekState } from './week-state.ts';

export type TripLoad = {
  readonly stops: number;
  readonly massKg: number;
  readonly varianceKg2: number;
  readonly litres: number;
  readonly varianceL2: number;
};

const NO_LOAD: TripLoad = { stops: 0, massKg: 0, varianceKg2: 0, litres: 0, varianceL2: 0 };

function loadWith(load: TripLoad, massKg: number, varianceKg2: number, litresPerKg: number): TripLoad {
  return {
    stops: load.stops + 1,
    massKg: load.massKg + massKg,
    varianceKg2: load.varianceKg2 + varianceKg2,
    litres: load.litres + massKg * litresPerKg,
    varianceL2: load.varianceL2 + varianceKg2 * litresPerKg * litresPerKg,
  };
}

/** What is left of a trip without its head. */
const loadWithout = (whole: TripLoad, head: TripLoad): TripLoad => ({
  stops: whole.stops - head.stops,
  massKg: whole.massKg - head.massKg,
  varianceKg2: whole.varianceKg2 - head.varianceKg2,
  litres: whole.litres - head.litres,
  varianceL2: whole.varianceL2 - head.varianceL2,
});

/** The load with one more stop on that day. */
const loadWithStop = (state: WeekState, load: TripLoad, site: number, day: number): TripLoad =>
  loadWith(
    load,
    visitMassKg(state, site, day),
    visitVarianceKg2(state, site, day),
    state.week.problem.sites[site]!.model.litresPerKg,
  );

/** Whether one more stop with this mass may travel too. */
export function takesStop(
  state: WeekState,
  shift: number,
  load: TripLoad,
  site: number,
  massKg: number,
  varianceKg2: number,
): boolean {
  const { week } = state;
  const litresPerKg = week.problem.sites[site]!.model.litresPerKg;
  return tripFits(
    week,
    shift,
    load.stops === 0 && week.tables[site]!.fillsVan,
    load.massKg + massKg,
    load.varianceKg2 + varianceKg2,
    load.litres + massKg * litresPerKg,
    load.varianceL2 + varianceKg2 * litresPerKg * litresPerKg,
  );
}

export type RoundLoads = {
  /** Of each trip in turn. */
  readonly trips: readonly TripLoad[];
  /** For each place before stop k: what its trip has loaded by then, and what it loads from there on. */
  readonly heads: readonly TripLoad[];
  readonly tails: readonly TripLoad[];
};

/** One memory for each week. */
export function makeRoundLoads(): (state: WeekState, shift: number) => RoundLoads {
  const known: { version: number; loads: RoundLoads }[] = [];
  return (state, shift) => {
    const version = state.loadsVersion[shift]!;
    if (known[shift]?.version === version) return known[shift].loads;
    const loads = roundLoads(state, shift);
    known[shift] = { version, loads };
    return loads;
  };
}

function roundLoads(state: WeekState, shift: number): RoundLoads {
  const { orders, counts, week } = state;
  const { day } = week.shifts[shift]!;
  const count = counts[shift]!;
  const trips: TripLoad[] = [];
  const heads: TripLoad[] = [];
  const tails: TripLoad[] = [];
  let load = NO_LOAD;
  for (let k = 0; k <= count; k++) {
    heads.push(load);
    const stop = k < count ? orders[shift * MAX_STOPS + k]! : UNLOAD;
    if (stop !== UNLOAD) load = loadWithStop(state, load, stop, day);
    else {
      trips.push(load);
      for (let j = tails.length; j <= k; j++) tails.push(loadWithout(load, heads[j]!));
      load = NO_LOAD;
    }
  }
  return { trips, heads, tails };
}
