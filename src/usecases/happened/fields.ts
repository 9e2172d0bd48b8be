/** What the facts of a happening are made of, and how they are read from text: a form, a command, a program's JSON. */
import { isDay, readInstant } from '../../core/calendar/zone.ts';
import type { Instant, Kg, LocalDay } from '../../core/quantity/units.ts';
import {
  EVENT_KINDS,
  type EventKind,
  GRADES,
  type Grade,
  MISSED_REASONS,
  type MissedReason,
} from '../../core/vocabulary.ts';
import type { Db } from '../../store/db.ts';
import { getRound, getStopPlace } from '../../store/plans.ts';
import { listProducts } from '../../store/products.ts';
import { listShifts } from '../../store/shifts.ts';
import { getSite, getSiteByKey } from '../../store/sites.ts';
import { getSurge, listSurges } from '../../store/surges.ts';
import { listVans } from '../../store/vans.ts';

/** What each type of field reads as. Things of the register read as their id, and are named by id or key. */
export type FieldValues = {
  site: string;
  surge: string;
  van: string;
  shift: string;
  round: string;
  stop: string;
  product: string;
  grade: Grade;
  'event-kind': EventKind;
  'missed-reason': MissedReason;
  kg: Kg;
  /** May be negative. */
  'change-kg': Kg;
  /** Bags; halves are counted. */
  bags: number;
  units: number;
  /** 1 is full to the brim. */
  fraction: number;
  day: LocalDay;
  instant: Instant;
  text: string;
};
export type FieldType = keyof FieldValues;
export type Field = { readonly type: FieldType; readonly isOptional?: true };
export type Fields = { readonly [name: string]: Field };
export type ValuesOf<F extends Fields> = {
  readonly [N in keyof F]: F[N] extends { readonly isOptional: true }
    ? FieldValues[F[N]['type']] | undefined
    : FieldValues[F[N]['type']];
};

/** By name, a sentence that says what is wrong and how to mend it. */
export type FieldFaults = { readonly [name: string]: string };
export type Sent = { readonly [name: string]: unknown };

export function readFields<F extends Fields>(
  db: Db,
  zone: string,
  fields: F,
  sent: Sent,
):
  | { readonly ok: true; readonly values: ValuesOf<F> }
  | { readonly ok: false; readonly faults: FieldFaults } {
  const values: Record<string, unknown> = {};
  const faults: Record<string, string> = {};
  for (const name of Object.keys(sent))
    if (!Object.hasOwn(fields, name))
      faults[name] = `is not asked for; there are ${Object.keys(fields).join(', ')}`;
  for (const [name, field] of Object.entries(fields)) {
    const text = textOf(sent[name]);
    if (text === '') {
      if (!field.isOptional) faults[name] = `is missing; ${WANTED[field.type]}`;
      continue;
    }
    const value = READERS[field.type](text, db, zone);
    if (value === undefined) faults[name] = `"${text}" cannot be taken; ${WANTED[field.type]}`;
    else values[name] = value;
  }
  return Object.keys(faults).length > 0 ? { ok: false, faults } : { ok: true, values: values as ValuesOf<F> };
}

const textOf = (value: unknown): string =>
  typeof value === 'string' ? value.trim() : typeof value === 'number' ? String(value) : '';

/** What to give, for whoever gave something else. */
export const WANTED: { readonly [type in FieldType]: string } = {
  site: 'give the id or the key of a site',
  surge: 'give the id or the key of a surge',
  van: 'give the id or the key of a van',
  shift: 'give the id or the key of a shift',
  round: 'give the id of a round',
  stop: 'give the id of a stop',
  product: 'give the id or the key of a product',
  grade: 'give a grade such as ldpe-clear',
  'event-kind': `give one of ${EVENT_KINDS.join(', ')}`,
  'missed-reason': `give one of ${MISSED_REASONS.join(', ')}`,
  kg: 'give a mass in kg, 0 to 30,000, such as 12.5',
  'change-kg': 'give a mass in kg, up to 30,000 either way, such as -4.5',
  bags: 'give a number of bags, 0 to 10,000',
  units: 'give a whole number of units, 0 to 1,000,000',
  fraction: 'give how full it is, 0 to 2; 1 is full to the brim',
  day: 'give a day such as 2026-06-15',
  instant: 'give a time such as 2026-06-15T07:30 (the workshop’s clock) or 2026-06-15T05:30Z',
  text: 'give a few words, 500 letters at most',
};

const oneOf = <T extends string>(words: readonly T[], text: string): T | undefined =>
  words.find((word) => word === text);
const among = (
  rows: readonly { readonly id: string; readonly key: string }[],
  text: string,
): string | undefined => rows.find((row) => row.id === text || row.key === text)?.id;
const numberIn = (text: string, least: number, most: number): number | undefined => {
  const value = Number(text);
  return value >= least && value <= most ? value : undefined;
};

const READERS: {
  readonly [type in FieldType]: (text: string, db: Db, zone: string) => FieldValues[type] | undefined;
} = {
  site: (text, db) => (getSite(db, text) ?? getSiteByKey(db, text))?.id,
  surge: (text, db) => getSurge(db, text)?.id ?? among(listSurges(db), text),
  van: (text, db) => among(listVans(db), text),
  shift: (text, db) => among(listShifts(db), text),
  round: (text, db) => getRound(db, text)?.id,
  stop: (text, db) => getStopPlace(db, text)?.stopId,
  product: (text, db) => among(listProducts(db), text),
  grade: (text) => oneOf(GRADES, text),
  'event-kind': (text) => oneOf(EVENT_KINDS, text),
  'missed-reason': (text) => oneOf(MISSED_REASONS, text),
  kg: (text) => numberIn(text, 0, 30_000),
  'change-kg': (text) => numberIn(text, -30_000, 30_000),
  bags: (text) => numberIn(text, 0, 10_000),
  units: (text) => (Number.isInteger(Number(text)) ? numberIn(text, 0, 1_000_000) : undefined),
  fraction: (text) => numberIn(text, 0, 2),
  day: (text) => (isDay(text) ? text : undefined),
  instant: (text, _db, zone) => readInstant(zone, text),
  text: (text) => (text.length <= 500 ? text : undefined),
};
