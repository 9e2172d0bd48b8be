/**
 * Order crossover on giant tours (Oliver, Smith & Holland 1987; in this use Prins 2004): a stretch of the first parent,
 * the rest in the order of the second.
 */
import type { FastRandom } from './fast-random.ts';

export function createOrderCrossover(n: number, random: FastRandom) {
  const taken = new Uint8Array(n);
  return (first: Int32Array, second: Int32Array, child: Int32Array): void => {
    const start = random.below(n);
    let end = random.below(n);
    while (n > 1 && end === start) end = random.below(n);
    taken.fill(0);
    let j = start;
    for (;;) {
      child[j] = first[j]!;
      taken[first[j]!] = 1;
      if (j === end) break;
      j = j + 1 === n ? 0 : j + 1;
    }
    let at = end + 1 === n ? 0 : end + 1;
    for (let i = 0; i < n; i++) {
      const v = second[(end + 1 + i) % n]!;
      if (taken[v]) continue;
      child[at] = v;
      at = at + 1 === n ? 0 : at + 1;
    }
  };
}
