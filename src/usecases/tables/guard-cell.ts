/** Text that a spreadsheet would run as a formula is guarded; numbers are numbers (OWASP, CSV injection). */
export const guardCell = <C extends string | number | null>(cell: C): C | string =>
  typeof cell === 'string' && /^'*[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell;
