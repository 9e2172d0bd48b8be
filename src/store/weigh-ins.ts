/**
 * Weigh-ins. Nothing is overwritten: a correction is a new row that points at the row it replaces. The first row
 * keeps the key that people know; corrections carry it with `~2`, `~3` … behind it, which no file may use.
 */
import { and, asc, desc, eq, gt, inArray, isNull, lt, or, type SQL, sql } from 'drizzle-orm';
import { alias } from 'drizzle-orm/sqlite-core';
import { sites, weighInGrades, weighIns } from '../../db/schema.ts';
import type { Instant, Kg } from '../core/quantity/units.ts';
import type { Grade, RejectReason, WeighMethod } from '../core/vocabulary.ts';
import { type Db, prepared, type Tx } from './db.ts';
import { inWholeGrams, toG, toGOrNull, toKg, toKgOrNull } from './grams.ts';

export type GradesKg = { readonly [grade in Grade]?: Kg };

export type WeighIn = {
  readonly id: string;
  /** The user's own stable key; of a correction, the key of the row it corrects. */
  readonly key: string;
  readonly siteId: string;
  readonly at: Instant;
  /** Rejected film included: it filled the container all the same. */
  readonly netKg: Kg | null;
  readonly grossKg: Kg | null;
  readonly tareKg: Kg | null;
  readonly bags: number | null;
  readonly foundFull: boolean;
  readonly rejectedKg: Kg;
  readonly rejectReason: RejectReason | null;
  /** What did not fit in the van and stayed; null where nobody said. */
  readonly leftKg: Kg | null;
  readonly method: WeighMethod;
  readonly stopId: string | null;
  readonly loadWeighInId: string | null;
  readonly replacesId: string | null;
  /** Sorted mass by grade; empty where nobody looked. */
  readonly gradesKg: GradesKg;
  readonly note: string;
  readonly recordedBy: string;
  readonly recordedAt: Instant;
};

type Masses = Pick<WeighIn, 'netKg' | 'grossKg' | 'tareKg' | 'rejectedKg' | 'leftKg' | 'gradesKg'>;

/**
 * A weigh-in as it will be read back: whole grams, the net exactly gross less tare where both were read (rounded
 * apart, the three could differ by a gram), no grade without mass. What is booked or compared must be this.
 */
export function asKept<T extends Masses>(w: T): T {
  const whole = (kg: Kg | null): Kg | null => (kg === null ? null : inWholeGrams(kg));
  const { grossKg, tareKg } = w;
  const isRead = grossKg !== null && tareKg !== null;
  const kept = Object.entries(w.gradesKg).map(([grade, kg]) => [grade, inWholeGrams(kg)] as const);
  return {
    ...w,
    netKg: isRead ? toKg(toG(grossKg) - toG(tareKg)) : whole(w.netKg),
    grossKg: whole(grossKg),
    tareKg: whole(tareKg),
    rejectedKg: inWholeGrams(w.rejectedKg),
    leftKg: whole(w.leftKg),
    gradesKg: Object.fromEntries(kept.filter(([, kg]) => kg > 0)),
  };
}

export const CORRECTION_MARK = '~';
/** When nobody gave a key: site and instant, which no two pickups share. */
export const derivedWeighInKey = (siteKey: string, at: Instant): string =>
  `${siteKey}@${new Date(at * 1000).toISOString().slice(0, 19)}Z`;

/** Adds a row. Fails on a key that is taken (see `correctWeighIn`). */
export function recordWeighIn(tx: Tx, w: WeighIn): void {
  if (w.key.includes(CORRECTION_MARK))
    throw new RangeError(`weigh-in key ${w.key} contains ${CORRECTION_MARK}`);
  insert(tx, { ...w, replacesId: null }, w.key);
}

/** Adds `next` in place of `previous`, which stays; `next.key` and `next.replacesId` follow from it. */
export function correctWeighIn(
  tx: Tx,
  previous: WeighIn,
  next: Omit<WeighIn, 'key' | 'replacesId'>,
): WeighIn {
  const stored = tx
    .select({ key: weighIns.externalKey })
    .from(weighIns)
    .where(eq(weighIns.id, previous.id))
    .get();
  if (!stored) throw new RangeError(`no weigh-in ${previous.id} to correct`);
  const [root = '', version = '1'] = stored.key.split(CORRECTION_MARK);
  const row: WeighIn = { ...next, key: root, replacesId: previous.id };
  insert(tx, row, `${root}${CORRECTION_MARK}${Number(version) + 1}`);
  return row;
}

export const getWeighIn = (db: Db, id: string): WeighIn | undefined =>
  withGrades(db, select(db).where(eq(weighIns.id, id)).all())[0];

/** The row that replaced this one, if it was corrected. */
export const replacementOf = (db: Db, id: string): WeighIn | undefined =>
  withGrades(db, select(db).where(eq(weighIns.replacesId, id)).all())[0];

/** What stands today under each of these keys (corrections followed to the last). */
export function currentWeighInsByKey(db: Db, keys: readonly string[]): Map<string, WeighIn> {
  const found = prepared(db, selectByKeys).all({ keys: JSON.stringify(keys) });
  const current = new Map<string, WeighIn>();
  const replaced: string[] = [];
  for (const weighIn of withGrades(db, found)) {
    current.set(weighIn.key, weighIn);
    if (found.some((row) => row.row.id === weighIn.id && row.replacedBy !== null)) replaced.push(weighIn.key);
  }
  // Corrections are rare, so their chains are walked one by one.
  for (const key of replaced)
    for (let next = replacementOf(db, current.get(key)!.id); next; next = replacementOf(db, next.id))
      current.set(key, next);
  return current;
}

/** Newest first; replaced rows only on request. */
export function listWeighInsOfSite(
  db: Db,
  siteId: string,
  options: { readonly includeReplaced?: boolean; readonly limit?: number } = {},
): WeighIn[] {
  const where = and(
    eq(weighIns.siteId, siteId),
    options.includeReplaced ? undefined : isNull(replacement.id),
  );
  const rows = select(db)
    .where(where)
    .orderBy(desc(weighIns.at), desc(weighIns.recordedAt), desc(weighIns.externalKey))
    .limit(options.limit ?? -1)
    .all();
  return withGrades(db, rows);
}

/** How many stand today: a replaced row has exactly one that points at it. */
export const countPickups = (db: Db): number =>
  db
    .select({ n: sql<number>`count(*) - count(${weighIns.replacesId})` })
    .from(weighIns)
    .get()?.n ?? 0;

/** Handed in for these stops and not corrected since. */
export const listWeighInsOfStops = (db: Db, stopIds: readonly string[]): WeighIn[] =>
  stopIds.length === 0
    ? []
    : withGrades(
        db,
        select(db)
          .where(and(inArray(weighIns.stopId, [...stopIds]), isNull(replacement.id)))
          .all(),
      );

/** Current weigh-ins with `fromAt` <= at < `untilAt`, oldest first. */
export const listWeighInsBetween = (db: Db, fromAt: Instant, untilAt: Instant): WeighIn[] =>
  withGrades(
    db,
    select(db)
      .where(and(sql`${weighIns.at} >= ${fromAt}`, lt(weighIns.at, untilAt), isNull(replacement.id)))
      .orderBy(asc(weighIns.at), asc(weighIns.externalKey))
      .all(),
  );

/**
 * All current weigh-ins by site and time, a page at a time, so that a long history is never in memory at once
 * and no statement stays open while others write.
 */
export function* iterateWeighIns(db: Db, pageRows = 2000): Generator<WeighIn & { readonly siteKey: string }> {
  let after: { siteKey: string; at: Instant; key: string } | undefined;
  while (true) {
    const beyond: SQL | undefined = after
      ? or(
          gt(sites.externalKey, after.siteKey),
          and(
            eq(sites.externalKey, after.siteKey),
            or(
              gt(weighIns.at, after.at),
              and(eq(weighIns.at, after.at), gt(weighIns.externalKey, after.key)),
            ),
          ),
        )
      : undefined;
    const rows = select(db)
      .where(and(isNull(replacement.id), beyond))
      .orderBy(asc(sites.externalKey), asc(weighIns.at), asc(weighIns.externalKey))
      .limit(pageRows)
      .all();
    const siteKeys = rows.map((row) => row.siteKey);
    const page = withGrades(db, rows);
    for (let i = 0; i < page.length; i++) yield { ...page[i]!, siteKey: siteKeys[i]! };
    const last = rows.at(-1);
    if (!last || rows.length < pageRows) return;
    after = { siteKey: last.siteKey, at: last.row.at, key: last.row.externalKey };
  }
}

// ---- rows -------------------------------------------------------------------------------------------------

const replacement = alias(weighIns, 'replacement');

const select = (db: Db) =>
  db
    .select({ row: weighIns, siteKey: sites.externalKey, replacedBy: replacement.id })
    .from(weighIns)
    .innerJoin(sites, eq(sites.id, weighIns.siteId))
    .leftJoin(replacement, eq(replacement.replacesId, weighIns.id))
    .$dynamic();

const selectByKeys = (db: Db) =>
  select(db)
    .where(sql`${weighIns.externalKey} IN (SELECT value FROM json_each(${sql.placeholder('keys')}))`)
    .prepare();

const selectGrades = (db: Db) =>
  db
    .select()
    .from(weighInGrades)
    .where(sql`${weighInGrades.weighInId} IN (SELECT value FROM json_each(${sql.placeholder('ids')}))`)
    .prepare();

type Row = { readonly row: typeof weighIns.$inferSelect };

function withGrades(db: Db, rows: readonly Row[]): WeighIn[] {
  if (rows.length === 0) return [];
  const gradesOf = new Map<string, Record<string, Kg>>();
  const ids = JSON.stringify(rows.map(({ row }) => row.id));
  for (const { weighInId, grade, g } of prepared(db, selectGrades).all({ ids })) {
    const known = gradesOf.get(weighInId) ?? {};
    known[grade] = toKg(g);
    gradesOf.set(weighInId, known);
  }
  return rows.map(({ row }) => {
    const { externalKey, netG, grossG, tareG, rejectedG, leftG, ...rest } = row;
    return {
      ...rest,
      key: externalKey.split(CORRECTION_MARK)[0]!,
      netKg: toKgOrNull(netG),
      grossKg: toKgOrNull(grossG),
      tareKg: toKgOrNull(tareG),
      rejectedKg: toKg(rejectedG),
      leftKg: toKgOrNull(leftG),
      gradesKg: (gradesOf.get(row.id) ?? {}) as GradesKg,
    };
  });
}

const insertRow = (db: Db) => {
  const p = sql.placeholder;
  return db
    .insert(weighIns)
    .values({
      id: p('id'),
      externalKey: p('externalKey'),
      siteId: p('siteId'),
      at: p('at'),
      netG: p('netG'),
      grossG: p('grossG'),
      tareG: p('tareG'),
      bags: p('bags'),
      foundFull: p('foundFull'),
      rejectedG: p('rejectedG'),
      rejectReason: p('rejectReason'),
      leftG: p('leftG'),
      method: p('method'),
      stopId: p('stopId'),
      loadWeighInId: p('loadWeighInId'),
      replacesId: p('replacesId'),
      note: p('note'),
      recordedBy: p('recordedBy'),
      recordedAt: p('recordedAt'),
    })
    .prepare();
};
const insertGrade = (db: Db) => {
  const p = sql.placeholder;
  return db
    .insert(weighInGrades)
    .values({ weighInId: p('weighInId'), grade: p('grade'), g: p('g') })
    .prepare();
};

function insert(tx: Tx, w: WeighIn, externalKey: string): void {
  const { key: _, netKg, grossKg, tareKg, rejectedKg, leftKg, gradesKg, ...rest } = asKept(w);
  prepared(tx, insertRow).run({
    ...rest,
    externalKey,
    grossG: toGOrNull(grossKg),
    tareG: toGOrNull(tareKg),
    netG: toGOrNull(netKg),
    rejectedG: toG(rejectedKg),
    leftG: toGOrNull(leftKg),
  });
  for (const [grade, kg] of Object.entries(gradesKg))
    prepared(tx, insertGrade).run({ weighInId: w.id, grade, g: toG(kg) });
}
