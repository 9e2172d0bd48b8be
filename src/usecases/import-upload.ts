/**
 * A table file that came over the web: put beside others in a folder of our own, checked without keeping anything, and
 * imported when the person says so. Only the preview is lost when the server stops.
 */
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Context } from './context.ts';
import { type ImportReport, importTable } from './import-table.ts';
import type { TableKind } from './tables/columns.ts';
import { UnreadableFile } from './tables/read-rows.ts';

export type Upload = {
  readonly id: string;
  readonly kind: TableKind;
  /** As the person's machine calls it; for sentences only, never a path of ours. */
  readonly name: string;
  readonly path: string;
  readonly folder: string;
};

export async function putUpload(
  { newId }: Pick<Context, 'newId'>,
  tempFolder: string,
  { kind, name, bytes }: { readonly kind: TableKind; readonly name: string; readonly bytes: Uint8Array },
): Promise<Upload> {
  const folder = await mkdtemp(join(tempFolder, 'feedround-upload-'));
  // The ending alone decides how it is read.
  const path = join(folder, /\.(geo)?json$/i.test(name) ? 'table.geojson' : 'table.csv');
  await writeFile(path, bytes, { mode: 0o600 });
  return { id: newId(), kind, name: shownName(name), path, folder };
}

export const dropUpload = ({ folder }: Upload): Promise<void> => rm(folder, { recursive: true, force: true });

/** @throws UnreadableFile when the file as such cannot be read, in words about the person's own file name */
export async function importUpload(
  context: Context,
  { kind, path, name }: Upload,
  options: { readonly dryRun: boolean; readonly actor: string },
): Promise<ImportReport> {
  try {
    return await importTable(context, kind, path, options);
  } catch (error) {
    if (error instanceof UnreadableFile) throw new UnreadableFile(error.message.replaceAll(path, name));
    throw error;
  }
}

const shownName = (name: string): string => name.replace(/^.*[\\/]/, '').slice(0, 120) || 'the file';
