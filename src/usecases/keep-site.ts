/**
 * A site is registered or changed by hand. What may be written of it, and every sentence about a mistake, is what an import
 * of the same cells would say: both read them with the same function.
 */
import { createHash } from 'node:crypto';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import { inTransaction } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { getSite, getSiteByKey, type Site } from '../store/sites.ts';
import type { Context } from './context.ts';
import { siteRow } from './export-table.ts';
import { importSites } from './import-sites.ts';
import { Cells, type Fault } from './tables/cells.ts';

export type KeepSiteRefusal =
  | { readonly kind: 'site-not-found' }
  /** Somebody else has changed it since it was looked at. */
  | { readonly kind: 'changed-meanwhile' }
  | { readonly kind: 'faults'; readonly faults: readonly Fault[] };

export type KeepSite = {
  /** Absent for a new site. */
  readonly siteId?: string;
  /** `fingerprintOf` what was looked at; of a new site nothing. */
  readonly seen?: string;
  /** By column of the sites' table; one that is absent leaves what is known. `key` is made for a new site. */
  readonly cells: { readonly [column: string]: string };
  /** Reads and judges it, and keeps nothing. */
  readonly isTrial: boolean;
  readonly actor: string;
};

export const fingerprintOf = (site: Site): string =>
  createHash('sha256')
    .update(JSON.stringify(siteRow(site)))
    .digest('hex')
    .slice(0, 16);

export function keepSite(
  context: Context,
  { siteId, seen, cells, isTrial, actor }: KeepSite,
): Result<{ readonly siteId: string }, KeepSiteRefusal> {
  return inTransaction(context.store, (tx) => {
    const before = siteId === undefined ? undefined : getSite(tx, siteId);
    if (siteId !== undefined && !before) return refuse({ kind: 'site-not-found' });
    if (before && seen !== undefined && seen !== fingerprintOf(before))
      return refuse({ kind: 'changed-meanwhile' });
    const table = importSites(tx, context);
    const key = before?.key ?? freeKey(cells['name'] ?? '', (one) => getSiteByKey(tx, one) !== undefined);
    const row = new Cells({ line: 1, cells: { ...cells, key }, hasDecimalComma: true });
    const read = table.read(row);
    if (row.faults.length > 0) return refuse({ kind: 'faults', faults: row.faults });
    const site = before ? withTheRest(read, before) : read;
    if (isTrial) return ok({ siteId: site.id });
    table.write(site);
    const { added, changed } = table.finish();
    if (added + changed === 0) return ok({ siteId: site.id });
    const subject = `site:${site.id}`;
    const at = context.now();
    if (before)
      appendEntry(tx, {
        at,
        kind: 'site-changed',
        subject,
        actor,
        facts: { columns: changedColumns(before, site) },
      });
    else appendEntry(tx, { at, kind: 'site-registered', subject, actor, facts: { name: site.name } });
    return ok({ siteId: site.id });
  });
}

/** A row has room for one rule, one contact and containers without days: what else there is stays. */
const withTheRest = (read: Site, before: Site): Site => ({
  ...read,
  rules: read.rules.length === 0 ? [] : [...read.rules, ...before.rules.slice(1)],
  contacts: [...read.contacts, ...before.contacts.slice(1)],
  containers:
    siteRow(read)['containers'] === siteRow(before)['containers'] ? before.containers : read.containers,
});

function changedColumns(before: Site, after: Site): string[] {
  const then = siteRow(before);
  return Object.entries(siteRow(after))
    .filter(([column, value]) => then[column] !== value)
    .map(([column]) => column);
}

/** "Wharf Stores" → `wharf-stores`, or `wharf-stores-2` where that is taken. */
function freeKey(name: string, isTaken: (key: string) => boolean): string {
  const plain =
    name
      .normalize('NFD')
      .replace(/\p{M}/gu, '')
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-|-$/g, '')
      .slice(0, 80) || 'site';
  for (let n = 1; ; n++) {
    const key = n === 1 ? plain : `${plain}-${n}`;
    if (!isTaken(key)) return key;
  }
}
