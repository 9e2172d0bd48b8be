/** What the sites' estimates are learnt from, in the core's own words: pickups, missed stops, donors' reports. */
import { and, asc, eq, gte, inArray, isNull } from 'drizzle-orm';
import { alias, type SQLiteColumn } from 'drizzle-orm/sqlite-core';
import { fillReports, missedStops, weighInConfirmations, weighInGrades, weighIns } from '../../db/schema.ts';
import type { Evidence, LoadWeighed } from '../core/accumulation/site-history.ts';
import type { Instant, Kg } from '../core/quantity/units.ts';
import type { Grade } from '../core/vocabulary.ts';
import type { Db } from './db.ts';
import { toKg } from './grams.ts';
import { listLoadWeighIns } from './load-weigh-ins.ts';

/**
 * By site id, oldest first, corrected weigh-ins left out. With `sinceAt`, only what happened from then on; with
 * `siteIds`, only of those sites.
 */
export function readEvidence(
  db: Db,
  sinceAt: Instant = Number.MIN_SAFE_INTEGER,
  siteIds?: readonly string[],
): Map<string, Evidence[]> {
  const bySite = new Map<string, Evidence[]>();
  const add = (siteId: string, evidence: Evidence) => {
    const known = bySite.get(siteId);
    if (known) known.push(evidence);
    else bySite.set(siteId, [evidence]);
  };

  const gradesOf = new Map<string, { [grade in Grade]?: Kg }>();
  const isAsked = (siteId: SQLiteColumn, at: SQLiteColumn) =>
    and(gte(at, sinceAt), siteIds === undefined ? undefined : inArray(siteId, [...siteIds]));
  for (const { weighInId, grade, g } of db
    .select({ weighInId: weighInGrades.weighInId, grade: weighInGrades.grade, g: weighInGrades.g })
    .from(weighInGrades)
    .innerJoin(weighIns, eq(weighIns.id, weighInGrades.weighInId))
    .where(isAsked(weighIns.siteId, weighIns.at))
    .all()) {
    const known = gradesOf.get(weighInId) ?? {};
    known[grade as Grade] = toKg(g);
    gradesOf.set(weighInId, known);
  }
  const replacement = alias(weighIns, 'replacement');
  const pickups = db
    .select({
      id: weighIns.id,
      siteId: weighIns.siteId,
      at: weighIns.at,
      netG: weighIns.netG,
      bags: weighIns.bags,
      foundFull: weighIns.foundFull,
      leftG: weighIns.leftG,
      method: weighIns.method,
      loadId: weighIns.loadWeighInId,
      confirmedAt: weighInConfirmations.confirmedAt,
    })
    .from(weighIns)
    .leftJoin(replacement, eq(replacement.replacesId, weighIns.id))
    .leftJoin(weighInConfirmations, eq(weighInConfirmations.weighInId, weighIns.id))
    .where(and(isNull(replacement.id), isAsked(weighIns.siteId, weighIns.at)))
    .all();
  for (const { siteId, netG, bags, leftG, loadId, confirmedAt, ...rest } of pickups) {
    const gradesKg = gradesOf.get(rest.id);
    add(siteId, {
      kind: 'picked-up',
      ...rest,
      ...(netG === null ? {} : { netKg: toKg(netG) }),
      ...(bags === null ? {} : { bags }),
      ...(leftG === null ? {} : { leftKg: toKg(leftG) }),
      ...(loadId === null ? {} : { loadId }),
      ...(gradesKg === undefined ? {} : { gradesKg }),
      ...(confirmedAt === null ? {} : { isConfirmed: true }),
    });
  }
  for (const { siteId, id, at, reason } of db
    .select()
    .from(missedStops)
    .where(isAsked(missedStops.siteId, missedStops.at))
    .orderBy(asc(missedStops.at))
    .all())
    add(siteId, { kind: 'missed', id, at, reason });
  for (const { siteId, id, at, fraction } of db
    .select()
    .from(fillReports)
    .where(isAsked(fillReports.siteId, fillReports.at))
    .orderBy(asc(fillReports.at))
    .all())
    add(siteId, { kind: 'reported', id, at, fraction });

  for (const list of bySite.values())
    list.sort((a, b) => a.at - b.at || (a.id < b.id ? -1 : a.id > b.id ? 1 : 0));
  return bySite;
}

export const readLoadsWeighed = (db: Db): LoadWeighed[] =>
  listLoadWeighIns(db).map(({ id, at, netKg }) => ({ loadId: id, at, netKg }));
