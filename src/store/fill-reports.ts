/** What donors say about their containers; 1 is full to the brim. */
import { desc, eq } from 'drizzle-orm';
import { fillReports } from '../../db/schema.ts';
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
