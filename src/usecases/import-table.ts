/**
 * Imports one table file: streamed, every mistake named, all or nothing, and twice the same file changes nothing.
 */
import type { Tx } from '../store/db.ts';
import { inLongTransaction, inTransaction } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import type { Context } from './context.ts';
import { importDrivers, importShifts, importVans } from './import-fleet.ts';
import { importProduction, importProducts, importStock } from './import-production.ts';
import { importSites, importSurges } from './import-sites.ts';
import { importWeighIns } from './import-weigh-ins.ts';
import { Cells, type Fault, type RawRow } from './tables/cells.ts';
import { TABLES, type TableKind } from './tables/columns.ts';
import { readRows, unknownColumn } from './tables/read-rows.ts';

export type Written = 'added' | 'changed' | 'unchanged';
export type Counts = { added: number; changed: number; unchanged: number };

/** What a kind of table does with its rows; made anew for each file, inside the transaction. */
export type TableImport<T> = {
  /** Reads a row; mistakes go into `cells.faults`. */
  read(cells: Cells): T;
  /** What must not stand twice in the file; undefined where rows need no identity. */
  identity(row: T): string;
  /** May wait for more rows; `finish` writes what is left. */
  write(row: T): void;
  finish(): Counts;
};

export type MakeImport<T> = (tx: Tx, context: Context) => TableImport<T>;

/** Faults beyond these are counted, not kept: the file is clearly of another kind. */
export const MAX_FAULTS_KEPT = 500;

export type ImportReport = Counts & {
  readonly kind: TableKind;
  readonly rows: number;
  readonly faults: readonly Fault[];
  readonly faultCount: number;
  /** False after a dry run or with faults: nothing was kept. */
  readonly isKept: boolean;
};

export type ImportOptions = {
  readonly dryRun: boolean;
  readonly actor: string;
  readonly onRows?: (rows: number) => void;
};

const IMPORTS: { readonly [kind in TableKind]: (tx: Tx, context: Context) => TableImport<unknown> } = {
  sites: anyRow(importSites),
  'weigh-ins': anyRow(importWeighIns),
  surges: anyRow(importSurges),
  products: anyRow(importProducts),
  production: anyRow(importProduction),
  vans: anyRow(importVans),
  drivers: anyRow(importDrivers),
  shifts: anyRow(importShifts),
  stock: anyRow(importStock),
};

/** @throws UnreadableFile when the file as such cannot be read */
export function importTable(
  context: Context,
  kind: TableKind,
  path: string,
  options: ImportOptions,
): Promise<ImportReport> {
  return inLongTransaction(context.store, async (tx) => {
    const run = startImport(tx, context, kind, options);
    for await (const raw of readRows(path, TABLES[kind])) run.take(raw);
    const report = run.end();
    return { keep: report.isKept, value: report };
  });
}

/** The same for rows that are in memory already, such as those of a request. */
export function importRows(
  context: Context,
  kind: TableKind,
  rows: Iterable<RawRow>,
  options: ImportOptions,
): ImportReport {
  class NotKept extends Error {}
  let report: ImportReport | undefined;
  try {
    return inTransaction(context.store, (tx) => {
      const run = startImport(tx, context, kind, options);
      for (const raw of rows) run.take(raw);
      report = run.end();
      if (!report.isKept) throw new NotKept();
      return report;
    });
  } catch (error) {
    if (error instanceof NotKept && report) return report;
    throw error;
  }
}

function startImport(tx: Tx, context: Context, kind: TableKind, options: ImportOptions) {
  const table = IMPORTS[kind](tx, context);
  const faults: Fault[] = [];
  const lineOf = new Map<string, number>();
  let faultCount = 0;
  let rows = 0;
  const known = new Set<string>(TABLES[kind].columns.map((column) => column.name));
  const note = (found: readonly Fault[]): void => {
    faultCount += found.length;
    if (faults.length < MAX_FAULTS_KEPT) faults.push(...found);
  };
  return {
    take(raw: RawRow): void {
      rows++;
      if (rows % 1000 === 0) options.onRows?.(rows);
      if (raw.broken) {
        note([{ line: raw.line, column: '', ...raw.broken }]);
        return;
      }
      const cells = new Cells(raw);
      for (const column of Object.keys(raw.cells))
        if (!known.has(column)) cells.fault(column, unknownColumn(TABLES[kind], column));
      const row = table.read(cells);
      if (cells.faults.length === 0) {
        const identity = table.identity(row);
        const before = lineOf.get(identity);
        if (before === undefined) lineOf.set(identity, raw.line);
        else cells.fault(TABLES[kind].columns[0].name, `stands on line ${before} already`);
      }
      note(cells.faults);
      // After the first mistake nothing will be kept: the rest is only read for more mistakes.
      if (faultCount === 0) table.write(row);
    },
    end(): ImportReport {
      const counts = faultCount === 0 ? table.finish() : { added: 0, changed: 0, unchanged: 0 };
      const isKept = faultCount === 0 && !options.dryRun;
      if (isKept && counts.added + counts.changed > 0)
        appendEntry(tx, {
          at: context.now(),
          kind: 'table-imported',
          subject: `table:${kind}`,
          actor: options.actor,
          facts: { ...counts, rows },
        });
      return { kind, rows, ...counts, faults, faultCount, isKept };
    },
  };
}

/** Rows of different tables share one loop; each table only ever sees its own. */
function anyRow<T>(make: MakeImport<T>): MakeImport<unknown> {
  return (tx, context) => {
    const table = make(tx, context);
    return {
      read: table.read,
      identity: (row) => table.identity(row as T),
      write: (row) => table.write(row as T),
      finish: table.finish,
    };
  };
}
