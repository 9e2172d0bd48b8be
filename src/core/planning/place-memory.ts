/**
 * Most rounds are as they were when a site last looked, and a change that is not accepted brings an order back: what a
 * site found in each order of a round is remembered, in a table of fixed size in which a newer entry takes the place of
 * an older one.
 */

const ENTRIES = 1 << 15;

export type PlaceMemory = {
  /** Place and micros of each trip in turn, for a version of a round's order (0, an empty round, is told apart by shift). */
  remembered(site: number, version: number, shift: number): Float64Array | undefined;
  remember(site: number, version: number, shift: number, places: Float64Array): void;
};

export function makePlaceMemory(): PlaceMemory {
  const sites = new Int32Array(ENTRIES).fill(-1);
  const keys = new Float64Array(ENTRIES);
  const found: Float64Array[] = new Array(ENTRIES);
  // Versions are whole and above 0.
  const keyOf = (version: number, shift: number): number => (version === 0 ? -1 - shift : version);
  const slotOf = (site: number, key: number): number =>
    ((Math.imul(site, 0x9e3779b1) ^ Math.imul(key | 0, 0x85ebca6b)) >>> 8) & (ENTRIES - 1);
  return {
    remembered: (site, version, shift) => {
      const key = keyOf(version, shift);
      const slot = slotOf(site, key);
      return sites[slot] === site && keys[slot] === key ? found[slot] : undefined;
    },
    remember: (site, version, shift, places) => {
      const key = keyOf(version, shift);
      const slot = slotOf(site, key);
      sites[slot] = site;
      keys[slot] = key;
      found[slot] = places;
    },
  };
}
