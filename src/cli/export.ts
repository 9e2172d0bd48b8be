import { createWriteStream, type WriteStream } from 'node:fs';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { exportCsv, exportGeoJson } from '../usecases/export-table.ts';
import { TABLE_KINDS, type TableKind } from '../usecases/tables/columns.ts';
import { type Command, DATABASE, Refusal, UsageError } from './command.ts';
import { withDatabase } from './workplace.ts';

export const exportFile: Command = {
  name: 'export',
  usage: 'KIND [FILE]',
  summary:
    'Writes a table as CSV, or the sites as GeoJSON, to a file or to the terminal; importing it again changes nothing.',
  details: `KIND is one of ${TABLE_KINDS.join(', ')}. A FILE that ends in .geojson makes GeoJSON of the sites.`,
  options: [DATABASE],
  maxWords: 2,
  run: (words) =>
    withDatabase(words, { mayCreate: false }, async ({ store }) => {
      const [kind, path] = words.positionals;
      if (!TABLE_KINDS.some((known) => known === kind))
        throw new UsageError(`Export what? One of ${TABLE_KINDS.join(', ')}.`);
      const isGeoJson = path !== undefined && /\.(geo)?json$/i.test(path);
      if (isGeoJson && kind !== 'sites')
        throw new UsageError('Only sites have a place: GeoJSON is for them alone.');
      const blocks = isGeoJson ? [exportGeoJson(store)] : exportCsv(store, kind as TableKind);
      const out: WriteStream | NodeJS.WriteStream =
        path === undefined ? process.stdout : createWriteStream(path);
      try {
        await pipeline(Readable.from(blocks), out, { end: path !== undefined });
      } catch (error) {
        const code = error instanceof Error && 'code' in error ? error.code : undefined;
        if (path !== undefined && ['ENOENT', 'EACCES', 'EISDIR', 'ENOTDIR', 'EROFS'].includes(String(code)))
          throw new Refusal(`${path} cannot be written. Name a file in a folder that is there.`);
        throw error;
      }
      return 0;
    }),
};
