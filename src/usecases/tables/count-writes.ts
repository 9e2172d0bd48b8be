/** The common shape of small tables: one row at a time, compared with what is there, written when it differs. */
import type { Counts, TableImport, Written } from '../import-table.ts';

export function oneByOne<T>(
  read: TableImport<T>['read'],
  identity: (row: T) => string,
  write: (row: T) => Written,
): TableImport<T> {
  const counts: Counts = { added: 0, changed: 0, unchanged: 0 };
  return {
    read,
    identity,
    write: (row) => {
      counts[write(row)]++;
    },
    finish: () => counts,
  };
}

/** Whether two plain values say the same, whatever the order of their fields; absent and undefined are one. */
export function isSame(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a === 'number' && typeof b === 'number')
    return Math.abs(a - b) <= 1e-9 * Math.max(1, Math.abs(a));
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  const left = a as { readonly [name: string]: unknown };
  const right = b as { readonly [name: string]: unknown };
  return [...new Set([...Object.keys(left), ...Object.keys(right)])].every((name) =>
    isSame(left[name], right[name]),
  );
}

/** Writes `next` unless `before` says the same; what was there decides the word. */
export function writeIfNew<T>(before: T | undefined, next: T, write: (next: T) => void): Written {
  if (before !== undefined && isSame(before, next)) return 'unchanged';
  write(next);
  return before === undefined ? 'added' : 'changed';
}
