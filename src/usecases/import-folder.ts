/** All files of a folder under their usual names, in the order in which they need each other. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Context } from './context.ts';
import { type ImportOptions, type ImportReport, importTable } from './import-table.ts';
import { importWorkshop, type WorkshopReport } from './import-workshop.ts';
import type { TableKind } from './tables/columns.ts';

/** What others point at comes first. */
export const IMPORT_ORDER: readonly TableKind[] = [
  'sites',
  'vans',
  'drivers',
  'shifts',
  'products',
  'production',
  'surges',
  'weigh-ins',
  'stock',
];

export type FolderReport = { readonly workshop?: WorkshopReport; readonly tables: readonly ImportReport[] };

/** Stops at the first file with faults: what depends on it would only repeat them. Earlier files are kept. */
export async function importFolder(
  context: Context,
  folder: string,
  options: Omit<ImportOptions, 'onRows'> & { readonly onRows?: (kind: TableKind, rows: number) => void },
): Promise<FolderReport> {
  const workshopPath = join(folder, 'workshop.json');
  const workshop = existsSync(workshopPath) ? importWorkshop(context, workshopPath, options) : undefined;
  const tables: ImportReport[] = [];
  for (const kind of IMPORT_ORDER) {
    const path = join(folder, `${kind}.csv`);
    if (!existsSync(path)) continue;
    const report = await importTable(context, kind, path, {
      dryRun: options.dryRun,
      actor: options.actor,
      onRows: (rows) => options.onRows?.(kind, rows),
    });
    tables.push(report);
    if (report.faultCount > 0) break;
  }
  return { ...(workshop ? { workshop } : {}), tables };
}
