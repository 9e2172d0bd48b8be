/**
 * The donor register: a site with everything that hangs on it (containers, hours, closures, pickup rules,
 * expected grades, contacts). A site is read and saved whole.
 */
import { and, asc, eq, inArray, isNotNull, type SQL, sql } from 'drizzle-orm';
import type { SQLiteColumn } from 'drizzle-orm/sqlite-core';
import {
  closures,
  contacts,
  containers,
  donors,
  openingHours,
  pickupRules,
  siteGrades,
  sites,
} from '../../db/schema.ts';
import type { Closure, WeeklyHours } from '../core/calendar/opening.ts';
import type { PickupRule } from '../core/calendar/pickup-rule.ts';
import type { Instant, Kg, Litres, LocalDay, Seconds } from '../core/quantity/units.ts';
import type { ContainerKind, Grade, SiteKind } from '../core/vocabulary.ts';
import type { Db, Tx } from './db.ts';
import { toKg } from './grams.ts';

export type Container = {
  readonly kind: ContainerKind;
  readonly count: number;
  readonly litresEach: Litres;
  /** Both days included; null is open-ended. */
  readonly fromDay: LocalDay | null;
  readonly untilDay: LocalDay | null;
};

export type Contact = { readonly name: string; readonly phone: string; readonly email: string };

export type GradeShares = { readonly [grade in Grade]?: number };

export type Site = {
  readonly id: string;
  readonly key: string;
  readonly donorId: string;
  readonly donorKey: string;
  readonly donorName: string;
  readonly name: string;
  readonly kind: SiteKind;
  readonly lat: number;
  readonly lon: number;
  readonly address: string;
  readonly district: string;
  readonly accessNotes: string;
  readonly handlingNotes: string;
  readonly serviceS: Seconds;
  readonly declaredBagsPerWeek: number;
  /** Null: the workshop's own figure. */
  readonly bagKg: Kg | null;
  readonly activeFromDay: LocalDay | null;
  readonly activeUntilDay: LocalDay | null;
  readonly registeredAt: Instant;
  readonly containers: readonly Container[];
  /** No rows: always open. */
  readonly hours: readonly WeeklyHours[];
  readonly closures: readonly Closure[];
  readonly rules: readonly PickupRule[];
  /** Expected split, sums to 1; empty where nobody said. */
  readonly gradeShares: GradeShares;
  /** Whom to ask there, the first one first. */
  readonly contacts: readonly Contact[];
};

/** All sites, by key. */
export const listSites = (db: Db): Site[] => readSites(db);
export const listSitesOfDonor = (db: Db, donorId: string): Site[] =>
  readSites(db, eq(sites.donorId, donorId));
export const getSite = (db: Db, id: string): Site | undefined => readSites(db, eq(sites.id, id))[0];
export const getSiteByKey = (db: Db, key: string): Site | undefined =>
  readSites(db, eq(sites.externalKey, key))[0];

/** Sites whose name, key, donor, address or district contain every word of `text`, whatever case or accents. */
export function searchSites(db: Db, text: string): Site[] {
  const words = fold(text).split(/\s+/);
  // SQLite folds ASCII only, and a register is small: the comparison is made here.
  const found = db
    .select({ id: sites.id, hay: sql<string>`${HAY}` })
    .from(sites)
    .innerJoin(donors, eq(donors.id, sites.donorId))
    .all()
    .filter(({ hay }) => words.every((word) => fold(hay).includes(word)));
  const ids = found.map((row) => row.id);
  return ids.length === 0 ? [] : readSites(db, inArray(sites.id, ids));
}
const HAY = sql`concat_ws(' ', ${sites.name}, ${sites.externalKey}, ${donors.name}, ${sites.address}, ${sites.district})`;
/** Small letters without accents. */
export const fold = (text: string): string =>
  text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase().trim();

/** Id of each site by its key: what an import needs of thousands of rows. */
export const siteIdsByKey = (db: Db): Map<string, string> =>
  new Map(
    db
      .select({ key: sites.externalKey, id: sites.id })
      .from(sites)
      .all()
      .map(({ key, id }) => [key, id]),
  );

/**
 * Inserts or replaces a site with all its parts; the donor must be saved before. Parts have no history of their
 * own, so they are written anew.
 */
export function saveSite(tx: Tx, site: Site): void {
  const { key, donorKey: _k, donorName: _n, bagKg, gradeShares, ...rest } = site;
  const { containers: boxes, hours, closures: shut, rules, contacts: people, ...own } = rest;
  const row = { ...own, externalKey: key, bagG: bagKg === null ? null : bagKg * 1000 };
  tx.insert(sites).values(row).onConflictDoUpdate({ target: sites.id, set: row }).run();

  const siteId = site.id;
  for (const part of [containers, openingHours, closures, pickupRules, siteGrades])
    tx.delete(part).where(eq(part.siteId, siteId)).run();
  tx.delete(contacts).where(eq(contacts.siteId, siteId)).run();
  // A part's id is its place in the site: it means nothing beyond the row.
  const withId = <T>(list: readonly T[]) =>
    list.map((item, i) => ({ id: `${siteId}-${i}`, siteId, ...item }));
  if (boxes.length > 0) tx.insert(containers).values(withId(boxes)).run();
  if (hours.length > 0)
    tx.insert(openingHours)
      .values(hours.map((h) => ({ siteId, ...h })))
      .run();
  if (shut.length > 0) tx.insert(closures).values(withId(shut)).run();
  if (rules.length > 0) tx.insert(pickupRules).values(withId(rules)).run();
  const shares = Object.entries(gradeShares).map(([grade, share]) => ({ siteId, grade, share }));
  if (shares.length > 0) tx.insert(siteGrades).values(shares).run();
  const known = people.map((person, position) => ({ donorId: site.donorId, position, ...person }));
  if (known.length > 0) tx.insert(contacts).values(withId(known)).run();
}

/** Six queries for any number of sites, put together in memory. */
function readSites(db: Db, where?: SQL): Site[] {
  const rows = db
    .select({ site: sites, donorKey: donors.externalKey, donorName: donors.name })
    .from(sites)
    .innerJoin(donors, eq(donors.id, sites.donorId))
    .where(where)
    .orderBy(asc(sites.externalKey))
    .all();
  // Few sites: ask for theirs only. Many: the whole table is read at once.
  const ids = rows.map((row) => row.site.id);
  const of = (part: SQLiteColumn) => (where && ids.length <= 200 ? inArray(part, ids) : undefined);

  const boxes = groupBySite(
    db.select().from(containers).where(of(containers.siteId)).orderBy(sql`rowid`).all(),
    ({ kind, count, litresEach, fromDay, untilDay }): Container => ({
      kind,
      count,
      litresEach,
      fromDay,
      untilDay,
    }),
  );
  const hours = groupBySite(
    db
      .select()
      .from(openingHours)
      .where(of(openingHours.siteId))
      .orderBy(asc(openingHours.weekday), asc(openingHours.opensMinute))
      .all(),
    ({ weekday, opensMinute, closesMinute }): WeeklyHours => ({ weekday, opensMinute, closesMinute }),
  );
  const shut = groupBySite(
    db.select().from(closures).where(of(closures.siteId)).orderBy(asc(closures.fromDay)).all(),
    ({ fromDay, untilDay, reason }): Closure => ({ fromDay, untilDay, reason }),
  );
  const rules = groupBySite(
    db.select().from(pickupRules).where(of(pickupRules.siteId)).orderBy(sql`rowid`).all(),
    ({ rrule, startsLocal, windowS, commitment, exceptDays, extraDays }): PickupRule => ({
      rrule,
      startsLocal,
      windowS,
      commitment,
      exceptDays,
      extraDays,
    }),
  );
  const shares = groupBySite(
    db.select().from(siteGrades).where(of(siteGrades.siteId)).orderBy(asc(siteGrades.grade)).all(),
    ({ grade, share }) => [grade, share] as const,
  );
  const people = groupBySite(
    db
      .select()
      .from(contacts)
      .where(and(isNotNull(contacts.siteId), of(contacts.siteId)))
      .orderBy(asc(contacts.position))
      .all(),
    ({ name, phone, email }): Contact => ({ name, phone, email }),
  );

  return rows.map(({ site, donorKey, donorName }) => {
    const { externalKey, bagG, ...rest } = site;
    return {
      ...rest,
      key: externalKey,
      donorKey,
      donorName,
      bagKg: bagG === null ? null : toKg(bagG),
      containers: boxes.get(site.id) ?? [],
      hours: hours.get(site.id) ?? [],
      closures: shut.get(site.id) ?? [],
      rules: rules.get(site.id) ?? [],
      gradeShares: Object.fromEntries(shares.get(site.id) ?? []) as GradeShares,
      contacts: people.get(site.id) ?? [],
    };
  });
}

function groupBySite<R extends { readonly siteId: string | null }, T>(
  rows: readonly R[],
  make: (row: R) => T,
): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const row of rows) {
    const id = row.siteId ?? '';
    const group = groups.get(id);
    if (group) group.push(make(row));
    else groups.set(id, [make(row)]);
  }
  return groups;
}
