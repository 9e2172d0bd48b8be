/**
 * Seeded random numbers. The core has no randomness of its own: whoever wants some passes a generator in.
 *
 * `sfc32` (Chris Doty-Humphrey's Small Fast Counter generator, 32-bit variant, from PractRand), seeded through
 * a 32-bit mixing function so that neighbouring seeds give unrelated sequences.
 */
export type Random = {
  /** Uniform in [0, 1), 32 bits. */
  next(): number;
  /** Uniform whole number in [0, bound). */
  below(bound: number): number;
  /** Standard normal (Box-Muller, one draw a call). */
  normal(): number;
};

export function seededRandom(seed: number): Random {
  let a = mix(seed | 0);
  let b = mix(a ^ 0x9e3779b9);
  let c = mix(b ^ 0x85ebca6b);
  let counter = 1;
  const next32 = (): number => {
    const sum = (a + b + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = ((c << 21) | (c >>> 11)) + sum;
    return sum >>> 0;
  };
  for (let i = 0; i < 12; i++) next32();
  const next = (): number => next32() / 4294967296;
  return {
    next,
    below: (bound) => Math.floor(next() * bound),
    normal: () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
  };
}

function mix(value: number): number {
  let h = value | 0;
  h = Math.imul(h ^ (h >>> 16), 0x21f0aaad);
  h = Math.imul(h ^ (h >>> 15), 0x735a2d97);
  return (h ^ (h >>> 15)) | 0;
}
