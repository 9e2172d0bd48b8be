/** The workshop itself (one row), its settings, and the grades it tells apart with the price of buying each in. */
import { asc, notInArray } from 'drizzle-orm';
import { grades, workshop } from '../../db/schema.ts';
import type { Kg, Micros } from '../core/quantity/units.ts';
import { GRADES, type Grade } from '../core/vocabulary.ts';
import type { Db, Tx } from './db.ts';
import { toG, toKg } from './grams.ts';
import { type Settings, SettingsSchema } from './settings.ts';

export type Workshop = {
  readonly name: string;
  /** IANA zone of all local days and times. */
  readonly zone: string;
  readonly lat: number;
  readonly lon: number;
  readonly address: string;
  /** ISO 4217 code. */
  readonly currency: string;
  readonly storeLimitKg: Kg;
  /** Bulk density of loose film as collected. */
  readonly filmKgPerM3: number;
  readonly bagKg: Kg;
  readonly settings: Settings;
};

export type GradePrice = {
  readonly grade: Grade;
  readonly name: string;
  readonly buyPriceMicrosPerKg: Micros;
};

/** Nothing can be planned or recorded before the workshop is known. */
export class NoWorkshopError extends Error {
  override readonly name = 'NoWorkshopError';
  constructor() {
    super(
      'The database has no workshop yet. Import the workshop file first (feedround import workshop FILE.json), or run the demo.',
    );
  }
}

export function getWorkshop(db: Db): Workshop | undefined {
  const row = db.select().from(workshop).get();
  if (!row) return undefined;
  const { id: _, storeLimitG, filmGPerL, bagG, settings, ...rest } = row;
  return {
    ...rest,
    storeLimitKg: toKg(storeLimitG),
    filmKgPerM3: filmGPerL, // g/L and kg/m³ are the same number
    bagKg: toKg(bagG),
    // Parsed on the way out too: settings that came later get their defaults.
    settings: SettingsSchema.parse(settings),
  };
}

/** @throws NoWorkshopError */
export function requireWorkshop(db: Db): Workshop {
  const found = getWorkshop(db);
  if (!found) throw new NoWorkshopError();
  return found;
}

export function saveWorkshop(tx: Tx, w: Workshop): void {
  const { storeLimitKg, filmKgPerM3, bagKg, settings, ...rest } = w;
  const row = {
    id: 'workshop',
    ...rest,
    storeLimitG: toG(storeLimitKg),
    filmGPerL: filmKgPerM3,
    bagG: bagKg * 1000,
    settings: SettingsSchema.parse(settings),
  };
  tx.insert(workshop).values(row).onConflictDoUpdate({ target: workshop.id, set: row }).run();
}

/** In the order of the vocabulary. */
export function listGrades(db: Db): GradePrice[] {
  const rank = new Map<string, number>(GRADES.map((grade, i) => [grade, i]));
  return db
    .select()
    .from(grades)
    .orderBy(asc(grades.grade))
    .all()
    .map((row) => ({ ...row, grade: row.grade as Grade }))
    .sort((a, b) => rank.get(a.grade)! - rank.get(b.grade)!);
}

/** Replaces the list. A grade that is in use cannot be left out: the database refuses (FOREIGN KEY). */
export function saveGrades(tx: Tx, list: readonly GradePrice[]): void {
  tx.delete(grades)
    .where(
      notInArray(
        grades.grade,
        list.map((g) => g.grade),
      ),
    )
    .run();
  for (const row of list)
    tx.insert(grades).values(row).onConflictDoUpdate({ target: grades.grade, set: row }).run();
}
