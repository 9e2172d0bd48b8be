/** What the pages of vans, drivers and shifts need, wired to the use cases. */
import { getWorkshop } from './store/workshop.ts';
import { arrangeShifts, changeShift } from './usecases/arrange-shifts.ts';
import type { Context } from './usecases/context.ts';
import { keepDriver, keepVan } from './usecases/keep-fleet.ts';
import { reportDriverAway, reportDriverBack } from './usecases/report-driver-away.ts';
import { putVanBack } from './usecases/take-van-off-road.ts';
import type { FleetDeps } from './web/coordinator/fleet-routes.tsx';
import * as fleet from './web/coordinator/read-fleet.ts';

export function fleetFor(context: Context): FleetDeps {
  const { store, now, newId } = context;
  return {
    hasWorkshop: () => getWorkshop(store) !== undefined,
    newId,
    readFrame: () => fleet.readFrame(store),
    readFleet: (from) => fleet.readFleet(store, now(), from),
    readShift: (shiftId) => fleet.readShift(store, now(), shiftId),
    readVan: (vanId) => fleet.readVan(store, vanId),
    readDriver: (driverId) => fleet.readDriver(store, driverId),
    keepVan: (request) => keepVan(context, request),
    keepDriver: (request) => keepDriver(context, request),
    arrangeShifts: (request) => arrangeShifts(context, request),
    changeShift: (request) => changeShift(context, request),
    reportDriverAway: (request) => reportDriverAway(context, request),
    reportDriverBack: (request) => reportDriverBack(context, request),
    putVanBack: (request) => putVanBack(context, request),
  };
}
