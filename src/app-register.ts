/** What the pages of the register need (vans, drivers, shifts, files, the workshop), wired to the use cases. */
import { keepUploads } from './jobs/keep-uploads.ts';
import { countRows } from './store/row-counts.ts';
import { getWorkshop, listGrades } from './store/workshop.ts';
import { arrangeShifts, changeShift } from './usecases/arrange-shifts.ts';
import type { Context } from './usecases/context.ts';
import { importUpload } from './usecases/import-upload.ts';
import { keepWorkshop } from './usecases/import-workshop.ts';
import { keepDriver, keepVan } from './usecases/keep-fleet.ts';
import { reportDriverAway, reportDriverBack } from './usecases/report-driver-away.ts';
import { UnreadableFile } from './usecases/tables/read-rows.ts';
import { putVanBack } from './usecases/take-van-off-road.ts';
import type { FleetDeps } from './web/coordinator/fleet-routes.tsx';
import type { ImportDeps } from './web/coordinator/import-routes.tsx';
import * as fleet from './web/coordinator/read-fleet.ts';
import type { WorkshopDeps } from './web/coordinator/workshop-routes.tsx';

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

export function importsFor(context: Context): ImportDeps {
  const uploads = keepUploads(context);
  return {
    workshopName: () => getWorkshop(context.store)?.name,
    countRows: () => countRows(context.store),
    putUpload: uploads.put,
    findUpload: uploads.find,
    dropUpload: uploads.drop,
    async importUpload(upload, options) {
      try {
        return await importUpload(context, upload, options);
      } catch (error) {
        if (error instanceof UnreadableFile) return error.message;
        throw error;
      }
    },
  };
}

export const workshopFor = (context: Context): WorkshopDeps => ({
  readWorkshop() {
    const workshop = getWorkshop(context.store);
    return workshop && { workshop, grades: listGrades(context.store) };
  },
  keepWorkshop({ grades, ...facts }, actor) {
    // A file that does not name the demo's day ends the demo; the page does not.
    const demoToday = getWorkshop(context.store)?.settings.demoToday;
    keepWorkshop(
      context,
      {
        ...facts,
        maps: [],
        grades: [...grades],
        settings: {},
        ...(demoToday === undefined ? {} : { demoToday }),
      },
      { dryRun: false, actor, where: 'the page', layers: [] },
    );
  },
});
