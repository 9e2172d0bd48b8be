/**
 * From our own data to the interface's JSON: names in snake_case with their units, instants as ISO 8601 in UTC.
 * One rule for everything, so that a new field is spelt like the others unasked.
 */
const isInstantName = (name: string): boolean => /At$/.test(name);

export const isoInstant = (at: number): string => `${new Date(at * 1000).toISOString().slice(0, 19)}Z`;

export function toJson(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(toJson);
  if (value instanceof Map) return Object.fromEntries([...value].map(([key, inner]) => [key, toJson(inner)]));
  if (value === null || typeof value !== 'object') return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, inner]) => [
      snake(name),
      isInstantName(name) && typeof inner === 'number' ? isoInstant(inner) : toJson(inner),
    ]),
  );
}

/** `netKg` → `net_kg`; grades and money parts (`ldpe-clear`, `left-at-end`) are words, not names, and stay. */
export const snake = (name: string): string => name.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);
