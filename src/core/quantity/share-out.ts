/** Whole units shared out in proportion, summing exactly: the largest remainders get the odd ones (Hamilton's method). */

/**
 * @param total a whole number, not negative
 * @param weights not negative; all zero shares out evenly
 */
export function shareOut(total: number, weights: readonly number[]): number[] {
  if (!Number.isSafeInteger(total) || total < 0)
    throw new RangeError(`only a whole amount can be shared out, not ${total}`);
  const sum = weights.reduce((s, weight) => s + weight, 0);
  const exact = weights.map((weight) => (sum > 0 ? (total * weight) / sum : total / weights.length));
  const shares = exact.map(Math.floor);
  let odd = total - shares.reduce((s, share) => s + share, 0);
  const byRemainder = exact.map((_, i) => i).sort((a, b) => (exact[b]! % 1) - (exact[a]! % 1) || a - b);
  for (const i of byRemainder) {
    if (odd <= 0) break;
    shares[i]!++;
    odd--;
  }
  return shares;
}
