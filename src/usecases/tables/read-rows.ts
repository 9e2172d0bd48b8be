/** Rows of a CSV file, or features of a GeoJSON file, one at a time, with the header checked first. */
import { createReadStream } from 'node:fs';
import { open, readFile } from 'node:fs/promises';
import { Readable } from 'node:stream';
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
  const broken: RawRow[] = [];
  const parser = parse({
    bom: true,
    delimiter,
    info: true,
    trim: true,
    relax_column_count: true,
    skip_empty_lines: true,
    skip_records_with_empty_values: true,
    // A quote that is never closed would otherwise take the rest of the file for one cell.
    max_record_size: MAX_RECORD_CHARACTERS,
    skip_records_with_error: true,
    on_skip: (error) => {
      if (!error) return;
      if (error.code === 'CSV_MAX_RECORD_SIZE') throw error;
      const line = Number(/at line (\d+)/.exec(error.message)?.[1] ?? 0);
      broken.push({ line, cells: {}, broken: { value: '', mend: QUOTE_ADVICE } });
    },
  });
  const source = Readable.from(textOf(path));
  source.on('error', (error) => parser.destroy(error));
  source.pipe(parser);
  let header: string[] | undefined;
  try {
    for await (const entry of parser) {
      const { record, info } = entry as { record: string[]; info: { lines: number } };
      if (!header) {
        header = checkHeader(path, record, table);
        continue;
      }
      yield* broken.splice(0);
      yield rowOf(record, header, delimiter, info.lines);
    }
    yield* broken.splice(0);
  } catch (error) {
    if (error instanceof CsvError)
      throw new UnreadableFile(`${path} is no CSV file that can be read: ${error.message}. ${QUOTE_ADVICE}`);
    throw error;
  } finally {
    source.destroy();
  }
  if (!header)
    throw new UnreadableFile(`${path} is empty. Its first line names the columns: ${names(table)}`);
}

/** Notes are long; no row of ours comes near this. */
const MAX_RECORD_CHARACTERS = 200_000;
const QUOTE_ADVICE =
  'put a cell with " in it in double quotes, write " inside it twice, and close every quote';

/** `endLine` is the line on which the row ends; the row is known by the line on which it begins. */
function rowOf(
  record: readonly string[],
  header: readonly string[],
  delimiter: string,
  endLine: number,
): RawRow {
  const line = endLine - record.reduce((breaks, cell) => breaks + cell.split('\n').length - 1, 0);
  const surplus = record.slice(header.length).filter((cell) => cell !== '');
  if (surplus.length > 0) {
    const mend = `${record.length} cells under ${header.length} column names; put text with a "${delimiter}" in it in double quotes`;
    return { line, cells: {}, broken: { value: surplus.join(delimiter), mend } };
  }
  const cells: Record<string, string> = {};
  header.forEach((name, i) => {
    cells[name] = unguard(record[i] ?? '');
  });
  return { line, cells, hasDecimalComma: delimiter !== ',' };
}

/** The file as text with plain line ends, a block at a time. */
async function* textOf(path: string): AsyncGenerator<string> {
  const decoder = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });
  let held = '';
  const decode = (block?: Buffer): string => {
    try {
      return held + (block ? decoder.decode(block, { stream: true }) : decoder.decode());
    } catch {
      throw new UnreadableFile(
        `${path} is not UTF-8 text, so letters with accents would be lost. Save it again as "CSV UTF-8".`,
      );
    }
  };
  for await (const block of createReadStream(path)) {
    const text = decode(block as Buffer);
    // The other half of a line end may come with the next block.
    held = text.endsWith('\r') ? '\r' : '';
    yield plainLineEnds(held === '' ? text : text.slice(0, -1));
  }
  const rest = decode();
  if (rest !== '') yield plainLineEnds(rest);
}
const plainLineEnds = (text: string): string => text.replace(/\r\n?/g, '\n');

/**
 * Spreadsheets start a formula with these; our export guards such text with an apostrophe, which goes again. Text
 * that began with apostrophes before such a sign got one more, so that nothing is lost.
 */
const unguard = (cell: string): string => (/^'+[=+\-@\t\r]/.test(cell) ? cell.slice(1) : cell);

/** A comma, a semicolon or a tab: whichever the first line has most of. */
async function delimiterOf(path: string): Promise<string> {
  const file = await open(path).catch(() => {
    throw new UnreadableFile(`There is no file ${path} that can be read.`);
  });
  try {
    if (!(await file.stat()).isFile())
      throw new UnreadableFile(`${path} is no file. Name one CSV file in it.`);
    const { buffer, bytesRead } = await file.read({ buffer: Buffer.alloc(8192) });
    const [line = ''] = buffer.toString('utf8', 0, bytesRead).split(/\r\n?|\n/);
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
    if (!known.includes(name)) problems.push(`"${name}" ${unknownColumn(table, name)}`);
  }
  for (const name of new Set(header.filter((one, i) => header.indexOf(one) !== i)))
    problems.push(`column ${name} stands there twice`);
  for (const column of table.columns)
    if (column.isRequired && !header.includes(column.name)) problems.push(`column ${column.name} is missing`);
  if (problems.length > 0)
    throw new UnreadableFile(`${path}, line 1: ${problems.join('; ')}. The columns are: ${names(table)}`);
  return header;
}

export function unknownColumn(table: TableSpec, name: string): string {
  const [near] = nearest(
    name,
    table.columns.map((column) => column.name),
  );
  return `is no column of ${table.kind}${near ? ` (did you mean ${near}?)` : ''}`;
}

const names = (table: TableSpec): string =>
  table.columns.map(({ name, isRequired }) => (isRequired ? name : `[${name}]`)).join(', ');

const Collection = z.object({ type: z.literal('FeatureCollection'), features: z.array(z.unknown()) });
const PointFeature = z.object({
  type: z.literal('Feature'),
  geometry: z.object({ type: z.literal('Point'), coordinates: z.array(z.number()).min(2).max(3) }),
  properties: z.record(z.string(), z.union([z.string(), z.number(), z.boolean(), z.null()])),
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
  const parsed = Collection.safeParse(json);
  if (!parsed.success)
    throw new UnreadableFile(
      `${path} is no GeoJSON FeatureCollection; it begins { "type": "FeatureCollection", "features": [ … ] }`,
    );
  let isFirst = true;
  for (const [i, raw] of parsed.data.features.entries()) {
    const line = i + 1;
    const feature = PointFeature.safeParse(raw);
    if (!feature.success) {
      const [issue] = feature.error.issues;
      const value = issue?.path.join('.') ?? '';
      yield {
        line,
        cells: {},
        broken: { value, mend: 'must be a Feature with a Point and plain properties' },
      };
      continue;
    }
    const { geometry, properties } = feature.data;
    if (isFirst) checkHeader(path, [...Object.keys(properties), 'lat', 'lon'], table);
    isFirst = false;
    const cells: Record<string, string> = {};
    for (const [name, value] of Object.entries(properties)) cells[name.toLowerCase()] = String(value ?? '');
    cells['lon'] = String(geometry.coordinates[0]);
    cells['lat'] = String(geometry.coordinates[1]);
    yield { line, cells };
  }
}

export const faultText = ({ line, column, value, mend }: Fault): string =>
  `line ${line}${column === '' ? '' : `, ${column}`}${value === '' ? '' : ` "${value}"`}: ${mend}`;
