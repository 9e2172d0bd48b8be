/** A year's record as CSV (RFC 4180): machine names and plain numbers, whatever the reader's language. */
import { stringify } from 'csv-stringify/sync';
import { guardCell } from '../tables/guard-cell.ts';
import type { YearRecord } from './year-record.ts';

const kg = (value: number): string => value.toFixed(3);
const lines = (rows: readonly (readonly (string | number)[])[]): string =>
  stringify(
    rows.map((row) => row.map(guardCell)),
    { record_delimiter: 'windows' },
  );

export const statementCsv = ({ months, sum }: YearRecord): string =>
  lines([
    ['month', 'collections', 'collected_kg', 'of_it_estimated_kg', 'rejected_kg', 'accepted_kg'],
    ...[...months, { month: 'year', ...sum }].map((m) => [
      m.month,
      m.pickups,
      kg(m.collectedKg),
      kg(m.estimatedKg),
      kg(m.rejectedKg),
      kg(m.acceptedKg),
    ]),
  ]);

/** The fields of a transfer record as in facts.md C5, as far as they are known here; times with their offset (RFC 3339). */
export const transfersCsv = ({ transfers, donorName, workshop }: YearRecord): string =>
  lines([
    [
      'record_id',
      'collected_at',
      'transferor',
      'transferee',
      'place',
      'address',
      'lat',
      'lon',
      'description',
      'hazardous',
      'containers',
      'container_count',
      'gross_kg',
      'tare_kg',
      'collected_kg',
      'method',
      'rejected_kg',
      'reject_reason',
      'accepted_kg',
    ],
    ...transfers.map((t) => [
      t.weighInId,
      offsetTime(t.at, workshop.zone),
      donorName,
      workshop.name,
      t.siteName,
      t.address,
      t.lat,
      t.lon,
      'plastic film, not hazardous',
      'no',
      t.bags === null ? '' : 'bags',
      t.bags ?? '',
      t.grossKg === null ? '' : kg(t.grossKg),
      t.tareKg === null ? '' : kg(t.tareKg),
      kg(t.collectedKg),
      t.isWeighed ? t.method : 'estimate',
      kg(t.rejectedKg),
      t.rejectReason ?? '',
      kg(t.acceptedKg),
    ]),
  ]);

const offsetTime = (at: number, zone: string): string =>
  Temporal.Instant.fromEpochMilliseconds(at * 1000)
    .toZonedDateTimeISO(zone)
    .toString({ smallestUnit: 'second', timeZoneName: 'never' });
