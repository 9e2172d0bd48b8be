/** What the database can say of itself: is the file whole, and does the ledger agree with the weigh-ins. */
import { sql } from 'drizzle-orm';
import type { Kg } from '../core/quantity/units.ts';
import type { Db, Store } from './db.ts';
import { toKg } from './grams.ts';

/** SQLite's own findings; empty when the file is whole and every reference points at something. */
export function fileFaults(store: Store): string[] {
  const integrity = store.$client.pragma('integrity_check') as { readonly integrity_check: string }[];
  const dangling = store.$client.pragma('foreign_key_check') as {
    readonly table: string;
    readonly parent: string;
  }[];
  return [
    ...integrity.map((row) => row.integrity_check).filter((line) => line !== 'ok'),
    ...dangling.map(({ table, parent }) => `a row of ${table} points at a row of ${parent} that is gone`),
  ];
}

export type LedgerFault = { readonly weighInKey: string; readonly weighedKg: Kg; readonly bookedKg: Kg };

/** Weighed pickups whose net mass and booked stock differ: there should be none. Replaced rows net out to 0. */
export const ledgerFaults = (db: Db): LedgerFault[] =>
  db
    .all<{ key: string; net_g: number; booked_g: number }>(sql`
      WITH RECURSIVE chain (id, root, key, net_g) AS (
        SELECT id, id, external_key, net_g FROM weigh_ins WHERE replaces_id IS NULL
        UNION ALL
        SELECT w.id, c.root, c.key, w.net_g FROM weigh_ins w JOIN chain c ON w.replaces_id = c.id
      ),
      last AS (
        SELECT c.root, c.key, c.net_g FROM chain c
        WHERE NOT EXISTS (SELECT 1 FROM weigh_ins w WHERE w.replaces_id = c.id)
      ),
      booked AS (
        SELECT c.root, sum(m.g) AS g FROM chain c JOIN stock_movements m ON m.weigh_in_id = c.id
        WHERE m.kind = 'collected' GROUP BY c.root
      )
      SELECT last.key AS key, last.net_g AS net_g, coalesce(booked.g, 0) AS booked_g
      FROM last LEFT JOIN booked ON booked.root = last.root
      WHERE last.net_g IS NOT NULL AND last.net_g <> coalesce(booked.g, 0)
      ORDER BY last.key`)
    .map(({ key, net_g, booked_g }) => ({
      weighInKey: key,
      weighedKg: toKg(net_g),
      bookedKg: toKg(booked_g),
    }));
