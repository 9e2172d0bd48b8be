/** All files of a folder under their usual names, in the order in which they need each other. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Context } from './context.ts';
import { type ImportOptions, type ImportReport, importTable } from './import-table.ts';
import { importWorkshop, type WorkshopReport } from './import-workshop.ts';
import type { TableKind } from './tables/columns.ts';
import { UnreadableFile } from './tables/read-rows.ts';

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

/** @throws UnreadableFile when there is nothing in it to read */
function requireFiles(folder: string): void {
  const names = ['workshop.json', ...IMPORT_ORDER.map((kind) => `${kind}.csv`)];
  if (!existsSync(folder)) throw new UnreadableFile(`There is no folder ${folder}.`);
  if (!names.some((name) => existsSync(join(folder, name))))
    throw new UnreadableFile(`${folder} holds none of ${names.join(', ')}. Give the files these names.`);
}

export type FolderReport = { readonly workshop?: WorkshopReport; readonly tables: readonly ImportReport[] };

/** Stops at the first file with faults: what depends on it would only repeat them. Earlier files are kept. */
export async function importFolder(
  context: Context,
  folder: string,
  options: Omit<ImportOptions, 'onRows'> & { readonly onRows?: (kind: TableKind, rows: number) => void },
): Promise<FolderReport> {
  requireFiles(folder);
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
