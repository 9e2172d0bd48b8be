/** The same tables out again: importing what was exported changes nothing. */
import { stringify } from 'csv-stringify/sync';
import { formatClosures, formatHours } from '../core/calendar/opening.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { Db } from '../store/db.ts';
import { listDrivers } from '../store/drivers.ts';
import { listProductionDays } from '../store/production.ts';
import { listProducts } from '../store/products.ts';
import { listShifts } from '../store/shifts.ts';
import { listSites, type Site } from '../store/sites.ts';
import { listKeyedMovements } from '../store/stock.ts';
import { listSurges } from '../store/surges.ts';
import { listVans } from '../store/vans.ts';
import { iterateWeighIns } from '../store/weigh-ins.ts';
import { TABLES, type TableKind } from './tables/columns.ts';
import { guardCell } from './tables/guard-cell.ts';

type Cell = string | number | null;
export type Row = { readonly [column: string]: Cell };

const columnNames = (kind: TableKind): string[] => TABLES[kind].columns.map(({ name }) => name);

/** The first line of a table's file, which alone is an empty one. */
export const csvHeader = (kind: TableKind): string =>
  stringify([columnNames(kind)], { record_delimiter: 'unix' });

/** Lines of a CSV file, a block at a time, so that a long history is never in memory at once. */
export function* exportCsv(db: Db, kind: TableKind): Generator<string> {
  const names = columnNames(kind);
  yield csvHeader(kind);
  let block: Cell[][] = [];
  for (const row of rowsOf(db, kind)) {
    block.push(names.map((name) => guardCell(row[name] ?? '')));
    if (block.length === 500) {
      yield stringify(block, { record_delimiter: 'unix' });
      block = [];
    }
  }
  if (block.length > 0) yield stringify(block, { record_delimiter: 'unix' });
}

/** The register as RFC 7946 GeoJSON. */
export function exportGeoJson(db: Db): string {
  const features = listSites(db).map((site) => {
    const { lat: _lat, lon: _lon, ...properties } = siteRow(site);
    return {
      type: 'Feature',
      geometry: { type: 'Point', coordinates: [site.lon, site.lat] },
      properties,
    };
  });
  return `${JSON.stringify({ type: 'FeatureCollection', features }, null, 1)}\n`;
}

/** With Z: it means the same instant whatever the zone of whoever reads it, repeated hours included. */
const iso = (at: Instant): string => `${new Date(at * 1000).toISOString().slice(0, 19)}Z`;
const amounts = (by: { readonly [grade: string]: number | undefined }): string =>
  Object.entries(by)
    .map(([grade, amount]) => `${grade}:${amount}`)
    .join(';');
const clock = (minute: number): string =>
  `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
const currency = (micros: number): number => micros / 1_000_000;

/** Rows under the names of the table's columns. */
export function* rowsOf(db: Db, kind: TableKind): Generator<Row> {
  switch (kind) {
    case 'sites':
      for (const site of listSites(db)) yield siteRow(site);
      return;
    case 'weigh-ins':
      for (const w of iterateWeighIns(db))
        yield {
          key: w.key,
          site: w.siteKey,
          at: iso(w.at),
          net_kg: w.netKg,
          gross_kg: w.grossKg,
          tare_kg: w.tareKg,
          bags: w.bags,
          found_full: w.foundFull ? 'yes' : 'no',
          rejected_kg: w.rejectedKg === 0 ? null : w.rejectedKg,
          reject_reason: w.rejectReason,
          left_kg: w.leftKg,
          grades: amounts(w.gradesKg),
          note: w.note,
        };
      return;
    case 'surges': {
      const keys = new Map(listSites(db).map((site) => [site.id, site.key]));
      for (const surge of listSurges(db))
        if (surge.cancelledAt === null)
          yield {
            key: surge.key,
            site: keys.get(surge.siteId) ?? '',
            event_kind: surge.eventKind,
            name: surge.name,
            starts_at: iso(surge.startsAt),
            ends_at: iso(surge.endsAt),
            expected_bags: surge.expectedBags,
            announced_at: iso(surge.announcedAt),
          };
      return;
    }
    case 'products':
      for (const product of listProducts(db))
        yield {
          key: product.key,
          name: product.name,
          film_kg_per_unit: product.filmKgPerUnit,
          yield: product.yieldShare,
          off_cut_return: product.offCutReturnShare,
          grades: amounts(product.gradeShares),
        };
      return;
    case 'production':
      for (const run of listProductionDays(db))
        yield { product: run.productKey, day: run.day, units: run.units };
      return;
    case 'vans':
      for (const van of listVans(db))
        yield {
          key: van.key,
          name: van.name,
          payload_kg: van.payloadKg,
          load_space_l: van.loadSpaceL,
          cost_per_km: currency(van.costMicrosPerKm),
          check_due: van.checkDueDay,
        };
      return;
    case 'drivers':
      for (const driver of listDrivers(db))
        yield {
          key: driver.key,
          name: driver.name,
          cost_per_hour: currency(driver.costMicrosPerHour),
          email: driver.email,
        };
      return;
    case 'shifts':
      for (const shift of listShifts(db))
        if (shift.cancelledAt === null)
          yield {
            key: shift.key,
            van: shift.vanKey,
            driver: shift.driverKey,
            day: shift.day,
            starts: clock(shift.startsMinute),
            ends: clock(shift.endsMinute),
          };
      return;
    case 'stock':
      for (const movement of listKeyedMovements(db))
        yield {
          key: movement.key,
          day: movement.day,
          grade: movement.grade,
          kind: movement.kind,
          kg: movement.kg,
          note: movement.note,
        };
      return;
  }
}

/** A site as its row of the table; also what a file leaves as it was, where it has no such column. */
export function siteRow(site: Site): Row {
  const [rule] = site.rules;
  const [contact] = site.contacts;
  return {
    key: site.key,
    donor: site.donorKey,
    donor_name: site.donorName,
    name: site.name,
    kind: site.kind,
    lat: site.lat,
    lon: site.lon,
    address: site.address,
    district: site.district,
    declared_bags_per_week: site.declaredBagsPerWeek,
    bag_kg: site.bagKg,
    service_min: Math.round((site.serviceS / 60) * 1000) / 1000,
    containers: site.containers.map((c) => `${c.kind}:${c.count}:${c.litresEach}`).join(';'),
    hours: formatHours(site.hours),
    closures: formatClosures(site.closures),
    rule: rule?.rrule ?? '',
    rule_start: rule?.startsLocal ?? '',
    rule_window_min: rule ? rule.windowS / 60 : '',
    rule_commitment: rule?.commitment ?? '',
    rule_except: rule?.exceptDays.join(';') ?? '',
    rule_extra: rule?.extraDays.join(';') ?? '',
    grades: amounts(site.gradeShares),
    access_notes: site.accessNotes,
    handling_notes: site.handlingNotes,
    contact_name: contact?.name ?? '',
    contact_phone: contact?.phone ?? '',
    contact_email: contact?.email ?? '',
    active_from: site.activeFromDay,
    active_until: site.activeUntilDay,
  };
}
