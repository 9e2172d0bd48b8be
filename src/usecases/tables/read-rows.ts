/** Rows of a CSV file, or features of a GeoJSON file, one at a time, with the header checked first. */
import { createReadStream } from 'node:fs';
import { open, readFile } from 'node:fs/promises';
import { CsvError, parse } from 'csv-parse';
import { z } from 'zod';
import type { Fault, RawRow } from './cells.ts';
import type { TableSpec } from './columns.ts';
import { nearest } from './nearest.ts';

/** The file as such cannot be read: a message that says why and what to do. */
export class UnreadableFile extends Error {}

export async function* readRows(path: string, table: TableSpec): AsyncGenerator<RawRow> {
  if (/\.(geo)?json$/i.test(path)) yield* featureRows(path, table);
  else yield* csvRows(path, table);
}

async function* csvRows(path: string, table: TableSpec): AsyncGenerator<RawRow> {
  const delimiter = await delimiterOf(path);
  const parser = createReadStream(path).pipe(
    parse({
      bom: true,
      delimiter,
      info: true,
      trim: true,
      relax_column_count: true,
      skip_empty_lines: true,
      skip_records_with_empty_values: true,
    }),
  );
  let header: string[] | undefined;
  try {
    for await (const entry of parser) {
      const { record, info } = entry as { record: string[]; info: { lines: number } };
      if (!header) {
        header = checkHeader(path, record, table);
        continue;
      }
      if (record.length > header.length)
        throw new UnreadableFile(
          `${path}, line ${info.lines}: ${record.length} cells under ${header.length} column names. Put text with a "${delimiter}" in it in double quotes.`,
        );
      const cells: Record<string, string> = {};
      header.forEach((name, i) => {
        cells[name] = unguard(record[i] ?? '');
      });
      yield { line: info.lines, cells };
    }
  } catch (error) {
    if (error instanceof CsvError)
      throw new UnreadableFile(`${path} is no CSV file that can be read: ${error.message}`);
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT')
      throw new UnreadableFile(`There is no file ${path}.`);
    throw error;
  }
  if (!header)
    throw new UnreadableFile(`${path} is empty. Its first line names the columns: ${names(table)}`);
}

/** Spreadsheets start a formula with these; our export guards such text with an apostrophe, which goes again. */
const unguard = (cell: string): string => (/^'[=+\-@\t\r]/.test(cell) ? cell.slice(1) : cell);

/** A comma, a semicolon or a tab: whichever the first line has most of. */
async function delimiterOf(path: string): Promise<string> {
  const file = await open(path).catch(() => {
    throw new UnreadableFile(`There is no file ${path} that can be read.`);
  });
  try {
    const { buffer, bytesRead } = await file.read({ buffer: Buffer.alloc(8192) });
    const [line = ''] = buffer.toString('utf8', 0, bytesRead).split(/\r?\n/);
    const count = (mark: string): number => line.split(mark).length;
    return [',', ';', '\t'].reduce((most, mark) => (count(mark) > count(most) ? mark : most));
  } finally {
    await file.close();
  }
}

function checkHeader(path: string, record: readonly string[], table: TableSpec): string[] {
  const known = table.columns.map((column) => column.name);
  const header = record.map((name) => name.toLowerCase());
  const problems: string[] = [];
  for (const name of header) {
    if (known.includes(name)) continue;
    const [near] = nearest(name, known);
    problems.push(`"${name}" is no column of ${table.kind}${near ? ` (did you mean ${near}?)` : ''}`);
  }
  for (const name of new Set(header.filter((one, i) => header.indexOf(one) !== i)))
    problems.push(`column ${name} stands there twice`);
  for (const column of table.columns)
    if (column.isRequired && !header.includes(column.name)) problems.push(`column ${column.name} is missing`);
  if (problems.length > 0)
    throw new UnreadableFile(`${path}, line 1: ${problems.join('; ')}. The columns are: ${names(table)}`);
  return header;
}

const names = (table: TableSpec): string =>
  table.columns.map(({ name, isRequired }) => (isRequired ? name : `[${name}]`)).join(', ');

const Features = z.object({
  type: z.literal('FeatureCollection'),
  features: z.array(
    z.object({
      type: z.literal('Feature'),
      geometry: z.object({ type: z.literal('Point'), coordinates: z.array(z.number()).min(2).max(3) }),
      properties: z.record(z.string(), z.union([z.string(), z.number(), z.boolean(), z.null()])),
    }),
  ),
});

/** RFC 7946: a position is longitude first. */
async function* featureRows(path: string, table: TableSpec): AsyncGenerator<RawRow> {
  const text = await readFile(path, 'utf8').catch(() => {
    throw new UnreadableFile(`There is no file ${path} that can be read.`);
  });
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch (error) {
    throw new UnreadableFile(`${path} is no JSON: ${error instanceof Error ? error.message : error}`);
  }
  const parsed = Features.safeParse(json);
  if (!parsed.success) {
    const [issue] = parsed.error.issues;
    throw new UnreadableFile(
      `${path} is no GeoJSON FeatureCollection of Points: at ${issue?.path.join('.') || 'the top'}, ${issue?.message}`,
    );
  }
  const first = parsed.data.features[0];
  if (first) checkHeader(path, [...Object.keys(first.properties), 'lat', 'lon'], table);
  for (const [i, { geometry, properties }] of parsed.data.features.entries()) {
    const cells: Record<string, string> = {};
    for (const [name, value] of Object.entries(properties)) cells[name.toLowerCase()] = String(value ?? '');
    cells['lon'] = String(geometry.coordinates[0]);
    cells['lat'] = String(geometry.coordinates[1]);
    yield { line: i + 1, cells };
  }
}

export const faultText = ({ line, column, value, mend }: Fault): string =>
  `line ${line}, ${column}${value === '' ? '' : ` "${value}"`}: ${mend}`;
