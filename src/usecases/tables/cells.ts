/**
 * Reads the cells of one row into values. What cannot be read is noted with line, column, value and what would be
 * right, and reading goes on, so that all mistakes of a file are named at once.
 */
import { instantOf, isDay } from '../../core/calendar/zone.ts';
import type { Instant, LocalDay } from '../../core/quantity/units.ts';
import { GRADES, type Grade } from '../../core/vocabulary.ts';
import { nearest } from './nearest.ts';

export type Fault = {
  /** Line of the file, the header being 1; a GeoJSON feature counts from 1. */
  readonly line: number;
  readonly column: string;
  readonly value: string;
  readonly mend: string;
};

export type RawRow = {
  readonly line: number;
  readonly cells: { readonly [column: string]: string };
  /** The file is not cut at commas, so that `1,5` is one and a half. */
  readonly hasDecimalComma?: boolean;
  /** The row could not be cut into cells: what was found, and what would be right. */
  readonly broken?: { readonly value: string; readonly mend: string };
};

export class Cells {
  readonly line: number;
  readonly faults: Fault[] = [];
  readonly #cells: RawRow['cells'];
  readonly #hasDecimalComma: boolean;
  #known: { readonly [column: string]: string | number | null } = {};

  constructor(row: RawRow) {
    this.line = row.line;
    this.#cells = row.cells;
    this.#hasDecimalComma = row.hasDecimalComma ?? false;
  }

  /** Columns that the file does not have at all keep what is known; an empty cell is a statement. */
  keepKnown(known: { readonly [column: string]: string | number | null }): void {
    this.#known = known;
  }

  has(column: string): boolean {
    return this.#cells[column] !== undefined;
  }

  raw(column: string): string {
    const text = (this.#cells[column] ?? String(this.#known[column] ?? '')).trim();
    // Browsers send line ends as \r\n, files are read with \n: kept as one, or a round trip would change the text.
    return text.includes('\r') ? text.replace(/\r\n?/g, '\n') : text;
  }

  fault(column: string, mend: string): undefined {
    this.faults.push({ line: this.line, column, value: this.raw(column), mend });
    return undefined;
  }

  /** Text that must be there. */
  needed(column: string): string {
    const value = this.raw(column);
    if (value === '') this.fault(column, 'must not be empty');
    return value;
  }

  /** An e-mail address, or nothing. */
  address(column: string): string {
    const text = this.raw(column);
    if (text !== '' && !/^[^\s@]+@[^\s@]+\.[^\s@]+$/.test(text)) this.fault(column, 'is no e-mail address');
    return text;
  }

  /** A key: short, without spaces around, the same every time. */
  key(column: string): string {
    const value = this.needed(column);
    if (value.length > 100) this.fault(column, 'a key has at most 100 characters');
    if (/[\n\r\t~]/.test(value)) this.fault(column, 'a key has no line break, tab or ~ in it');
    return value;
  }

  number(
    column: string,
    { min, max, unit }: { readonly min: number; readonly max: number; readonly unit: string },
  ) {
    const value = this.raw(column);
    if (value === '') return undefined;
    if (!this.#hasDecimalComma && /^[+-]?\d{1,3}(,\d{3})+(\.\d+)?$/.test(value))
      return this.fault(
        column,
        `a comma may part decimals or thousands: write ${value.replace(',', '.')} or ${value.replaceAll(',', '')}`,
      );
    const text = /^[+-]?\d+,\d+$/.test(value) ? value.replace(',', '.') : value;
    const number = NUMBER.test(text) ? Number(text) : Number.NaN;
    if (!Number.isFinite(number))
      return this.fault(column, `write a number in ${unit}, such as ${example(min, max)}`);
    if (number < min || number > max) return this.fault(column, `must lie between ${min} and ${max} ${unit}`);
    return number;
  }

  /** Mass in kg to the gram, as it is kept: the same file twice must find the same. */
  kg(column: string, bounds: { readonly min: number; readonly max: number }): number | undefined {
    const kg = this.number(column, { ...bounds, unit: 'kg' });
    return kg === undefined ? undefined : toGram(kg);
  }

  neededNumber(
    column: string,
    bounds: { readonly min: number; readonly max: number; readonly unit: string },
  ): number {
    if (this.raw(column) === '') {
      this.fault(column, `must not be empty: a number in ${bounds.unit}`);
      return 0;
    }
    return this.number(column, bounds) ?? 0;
  }

  oneOf<T extends string>(column: string, words: readonly T[]): T | undefined {
    const value = this.raw(column);
    if (value === '') return undefined;
    const found = words.find((word) => word === value.toLowerCase());
    if (found) return found;
    const [near] = nearest(value, words);
    return this.fault(column, `must be one of ${words.join(', ')}${near ? ` (did you mean ${near}?)` : ''}`);
  }

  neededOneOf<T extends string>(column: string, words: readonly [T, ...T[]] | readonly T[]): T {
    if (this.raw(column) === '') this.fault(column, `must be one of ${words.join(', ')}`);
    return this.oneOf(column, words) ?? words[0]!;
  }

  yesNo(column: string): boolean {
    const value = this.raw(column).toLowerCase();
    if (['', 'no', 'n', '0', 'false'].includes(value)) return false;
    if (['yes', 'y', '1', 'true'].includes(value)) return true;
    this.fault(column, 'write yes or no');
    return false;
  }

  day(column: string): LocalDay | undefined {
    const value = this.raw(column);
    if (value === '') return undefined;
    return isDay(value) ? value : this.fault(column, 'write a day such as 2026-05-04');
  }

  neededDay(column: string): LocalDay {
    if (this.raw(column) === '') this.fault(column, 'must not be empty: a day such as 2026-05-04');
    return this.day(column) ?? '2000-01-01';
  }

  /** Local wall time in the workshop's zone, or a time with its own offset. */
  instant(column: string, zone: string): Instant | undefined {
    const value = this.raw(column);
    if (value === '') return undefined;
    const local = /^(\d{4}-\d{2}-\d{2})[T ]([01]\d|2[0-3]):([0-5]\d)(?::[0-5]\d)?$/.exec(value);
    if (local && isDay(local[1]!))
      return instantOf(zone, local[1]!, Number(local[2]) * 60 + Number(local[3]));
    const withOffset = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d+)?)?(Z|[+-]\d{2}:?\d{2})$/.test(value);
    // Date.parse would move 30 February into March.
    const at = withOffset && isDay(value.slice(0, 10)) ? Date.parse(value) : Number.NaN;
    if (Number.isFinite(at)) return Math.round(at / 1000);
    return this.fault(
      column,
      'write a time such as 2026-05-04T09:30 (workshop’s clock) or 2026-05-04T07:30Z',
    );
  }

  neededInstant(column: string, zone: string): Instant {
    if (this.raw(column) === '') this.fault(column, 'must not be empty: a time such as 2026-05-04T09:30');
    return this.instant(column, zone) ?? 0;
  }

  /** A row of another file, by its key. */
  reference<T>(column: string, known: ReadonlyMap<string, T>, what: string): T | undefined {
    const key = this.needed(column);
    if (key === '') return undefined;
    const found = known.get(key);
    if (found !== undefined) return found;
    const near = nearKeys(key, known);
    const hint = near.length > 0 ? `did you mean ${near.join(' or ')}?` : `import the ${what}s first`;
    return this.fault(column, `there is no ${what} "${key}"; ${hint}`);
  }

  /** `grade:number;…`, each grade of the workshop at most once. */
  grades(column: string, known: ReadonlySet<Grade>, unit: string): { readonly [grade in Grade]?: number } {
    const amounts: { [grade in Grade]?: number } = {};
    for (const piece of this.raw(column).split(';')) {
      if (piece.trim() === '') continue;
      const [name = '', amount = ''] = piece.split(':').map((part) => part.trim());
      const grade = GRADES.find((one) => one === name.toLowerCase());
      const number = Number(this.#hasDecimalComma ? amount.replace(',', '.') : amount);
      const value = unit === 'kg' ? toGram(number) : number;
      if (!grade || !known.has(grade)) {
        const near = nearest(name, known);
        this.fault(
          column,
          `"${name}" is no grade of the workshop (${near.length > 0 ? `did you mean ${near[0]}?` : [...known].join(', ')})`,
        );
      } else if (amount === '' || !(value > 0))
        this.fault(column, `write ${name}:AMOUNT with an amount above 0 (${unit})`);
      else if (amounts[grade] !== undefined) this.fault(column, `${grade} stands there twice`);
      else amounts[grade] = value;
    }
    return amounts;
  }

  /** Shares that sum to 1. */
  shares(column: string, known: ReadonlySet<Grade>): { readonly [grade in Grade]?: number } {
    const shares = this.grades(column, known, 'a share');
    const sum = Object.values(shares).reduce((total, share) => total + share, 0);
    if (sum > 0 && Math.abs(sum - 1) > 0.005)
      this.fault(column, `the shares sum to ${Math.round(sum * 1000) / 1000}; they must sum to 1`);
    return shares;
  }
}

/** A file of the wrong register names 100,000 unknown keys: each is compared once, and not without end. */
const MAX_COMPARED = 500;
const compared = new WeakMap<object, Map<string, string[]>>();
function nearKeys(key: string, known: ReadonlyMap<string, unknown>): string[] {
  const found = compared.get(known) ?? new Map<string, string[]>();
  compared.set(known, found);
  const near = found.get(key) ?? (found.size < MAX_COMPARED ? nearest(key, known.keys()) : []);
  if (found.size < MAX_COMPARED) found.set(key, near);
  return near;
}

/** As people and programs write numbers; not `0x1F`, which JavaScript would take as well. */
const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;

export const toGram = (kg: number): number => Math.round(kg * 1000) / 1000;

const example = (min: number, max: number): string =>
  String(Math.min(max, Math.max(min, max >= 100 ? 12.5 : (min + max) / 2)));
