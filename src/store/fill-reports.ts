/** What donors say about their containers; 1 is full to the brim. */
import { and, desc, eq, gte, isNull, sql } from 'drizzle-orm';
import { alias } from 'drizzle-orm/sqlite-core';
import { fillReports, sites, weighIns } from '../../db/schema.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { Db, Tx } from './db.ts';

export type FillReport = {
  readonly id: string;
  readonly siteId: string;
  readonly at: Instant;
  readonly fraction: number;
  readonly reportedBy: string;
};

export function recordFillReport(tx: Tx, report: FillReport): void {
  tx.insert(fillReports).values(report).run();
}

export const getFillReport = (db: Db, id: string): FillReport | undefined =>
  db.select().from(fillReports).where(eq(fillReports.id, id)).get();

/** Newest first. */
export const listFillReportsOfSite = (db: Db, siteId: string): FillReport[] =>
  db.select().from(fillReports).where(eq(fillReports.siteId, siteId)).orderBy(desc(fillReports.at)).all();

/** A report below this says how it stands, and calls nobody: own judgement. */
const GETTING_FULL = 0.75;

/** How often a donor said that the container was getting full, and how often it was found full without a word. */
export type CallCount = { readonly calls: number; readonly silent: number };

/**
 * By site id, from an instant on; a site with neither is left out. Several reports before one pickup are one call.
 * Pickups from before a site came into the register do not count: nobody could report it here.
 */
export function countCalls(db: Db, sinceAt: Instant): Map<string, CallCount> {
  const replacement = alias(weighIns, 'replacement');
  const told = db
    .selectDistinct({
      siteId: fillReports.siteId,
      // The pickup that followed; none yet is a call as well.
      weighInId: sql<string | null>`(
        SELECT w.id FROM weigh_ins w
        WHERE w.site_id = fill_reports.site_id AND w.at >= fill_reports.at
          AND NOT EXISTS (SELECT 1 FROM weigh_ins r WHERE r.replaces_id = w.id)
        ORDER BY w.at LIMIT 1)`,
    })
    .from(fillReports)
    .where(and(gte(fillReports.at, sinceAt), gte(fillReports.fraction, GETTING_FULL)))
    .all();
  const found = db
    .select({ siteId: weighIns.siteId, id: weighIns.id })
    .from(weighIns)
    .innerJoin(sites, eq(sites.id, weighIns.siteId))
    .leftJoin(replacement, eq(replacement.replacesId, weighIns.id))
    .where(
      and(
        gte(weighIns.at, sinceAt),
        gte(weighIns.at, sites.registeredAt),
        eq(weighIns.foundFull, true),
        isNull(replacement.id),
      ),
    )
    .all();
  const counts = new Map<string, { calls: number; silent: number }>();
  const of = (siteId: string) => {
    const known = counts.get(siteId) ?? { calls: 0, silent: 0 };
    counts.set(siteId, known);
    return known;
  };
  for (const { siteId } of told) of(siteId).calls++;
  const announced = new Set(told.map(({ weighInId }) => weighInId));
  for (const { siteId, id } of found) if (!announced.has(id)) of(siteId).silent++;
  return counts;
}
