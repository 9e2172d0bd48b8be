/** Columns for a terminal: text to the left, numbers to the right, two spaces between. */
export type Column = { readonly head: string; readonly align?: 'left' | 'right' };

export function textTable(columns: readonly Column[], rows: readonly (readonly string[])[]): string {
  const widths = columns.map(({ head }, i) =>
    Math.max(head.length, ...rows.map((row) => (row[i] ?? '').length)),
  );
  const line = (cells: readonly string[]): string =>
    columns
      .map(({ align }, i) => {
        const cell = cells[i] ?? '';
        return align === 'right' ? cell.padStart(widths[i]!) : cell.padEnd(widths[i]!);
      })
      .join('  ')
      .trimEnd();
  return [line(columns.map((c) => c.head)), ...rows.map(line)].join('\n');
}
