/** Vans, drivers and shifts from their tables. */

import type { Driver } from '../store/drivers.ts';
import { listDrivers, saveDriver } from '../store/drivers.ts';
import type { Shift } from '../store/shifts.ts';
import { listShifts, saveShift } from '../store/shifts.ts';
import type { Van } from '../store/vans.ts';
import { listVans, saveVan } from '../store/vans.ts';
import type { MakeImport } from './import-table.ts';
import { type Cells, toGram } from './tables/cells.ts';
import { oneByOne, writeIfNew } from './tables/count-writes.ts';

const byKey = <T extends { readonly key: string }>(rows: readonly T[]): Map<string, T> =>
  new Map(rows.map((row) => [row.key, row]));
/** Money comes in the currency, is kept in whole millionths. */
export const toMicros = (amount: number): number => Math.round(amount * 1_000_000);

export const importVans: MakeImport<Van> = (tx, { newId }) => {
  const known = byKey(listVans(tx));
  return oneByOne<Van>(
    (cells) => {
      const key = cells.key('key');
      const before = known.get(key);
      return {
        id: before?.id ?? newId(),
        key,
        name: cells.needed('name'),
        payloadKg: toGram(cells.neededNumber('payload_kg', { min: 1, max: 30_000, unit: 'kg' })),
        loadSpaceL: cells.neededNumber('load_space_l', { min: 1, max: 200_000, unit: 'litres' }),
        costMicrosPerKm: toMicros(cells.neededNumber('cost_per_km', { min: 0, max: 100, unit: 'currency' })),
        offRoadFromAt: before?.offRoadFromAt ?? null,
        // A file without the column leaves it as it was.
        checkDueDay: cells.has('check_due')
          ? (cells.day('check_due') ?? null)
          : (before?.checkDueDay ?? null),
      };
    },
    (van) => van.key,
    (van) => writeIfNew(known.get(van.key), van, (next) => saveVan(tx, next)),
  );
};

export const importDrivers: MakeImport<Driver> = (tx, { newId }) => {
  const known = byKey(listDrivers(tx));
  return oneByOne<Driver>(
    (cells) => {
      const key = cells.key('key');
      const before = known.get(key);
      return {
        id: before?.id ?? newId(),
        key,
        name: cells.needed('name'),
        costMicrosPerHour: toMicros(
          cells.neededNumber('cost_per_hour', { min: 0, max: 1000, unit: 'currency' }),
        ),
        // A file without the column leaves it as it was.
        email: cells.has('email') ? cells.address('email') : (before?.email ?? ''),
      };
    },
    (driver) => driver.key,
    (driver) => writeIfNew(known.get(driver.key), driver, (next) => saveDriver(tx, next)),
  );
};

export const importShifts: MakeImport<Shift> = (tx, { newId }) => {
  const known = byKey(listShifts(tx));
  const vans = byKey(listVans(tx));
  const drivers = byKey(listDrivers(tx));
  return oneByOne<Shift>(
    (cells) => {
      const key = cells.key('key');
      const before = known.get(key);
      const van = cells.reference('van', vans, 'van');
      const driver = cells.reference('driver', drivers, 'driver');
      const startsMinute = minuteOf(cells, 'starts');
      const endsMinute = minuteOf(cells, 'ends');
      if (startsMinute >= endsMinute && cells.faults.length === 0)
        cells.fault('ends', `must be later than ${cells.raw('starts')}; write a shift over midnight as two`);
      return {
        id: before?.id ?? newId(),
        key,
        vanId: van?.id ?? '',
        vanKey: van?.key ?? '',
        driverId: driver?.id ?? '',
        driverKey: driver?.key ?? '',
        day: cells.neededDay('day'),
        startsMinute,
        endsMinute,
        cancelledAt: before?.cancelledAt ?? null,
      };
    },
    (shift) => shift.key,
    (shift) => writeIfNew(known.get(shift.key), shift, (next) => saveShift(tx, next)),
  );
};

function minuteOf(cells: Cells, column: string): number {
  const clock = /^([01]?\d|2[0-4]):([0-5]\d)$/.exec(cells.needed(column));
  const minute = clock ? Number(clock[1]) * 60 + Number(clock[2]) : Number.NaN;
  if (minute >= 0 && minute <= 1440) return minute;
  if (cells.raw(column) !== '') cells.fault(column, 'write a time such as 07:30');
  return 0;
}
