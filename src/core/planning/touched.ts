/** A set of small whole numbers that is emptied in the time it took to fill. */
export type Touched = { readonly list: Int32Array; readonly isIn: Uint8Array; count: number };

export const noneTouched = (size: number): Touched => ({
  list: new Int32Array(size),
  isIn: new Uint8Array(size),
  count: 0,
});

export function touch(set: Touched, index: number): void {
  if (set.isIn[index]) return;
  set.isIn[index] = 1;
  set.list[set.count++] = index;
}

export function untouch(set: Touched): void {
  for (let k = 0; k < set.count; k++) set.isIn[set.list[k]!] = 0;
  set.count = 0;
}
