/**
 * Seeded random numbers. The core has no randomness of its own: whoever wants some passes a generator in.
 *
 * `sfc32` (Chris Doty-Humphrey's Small Fast Counter generator, 32-bit variant, from PractRand), seeded through
 * a 32-bit mixing function so that neighbouring seeds give unrelated sequences.
 */
import type { Kg } from './units.ts';

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

/** Gamma of whole shape: a sum of exponentials, or its cube root as a normal (Wilson & Hilferty 1931) where that is long. */
export function gammaDraw(random: Random, shape: number): number {
  if (shape > 60) return shape * (1 - 1 / (9 * shape) + random.normal() / (3 * Math.sqrt(shape))) ** 3;
  let sum = 0;
  for (let k = 0; k < shape; k++) sum -= Math.log(1 - random.next());
  return sum;
}

/** Mass of a Poisson number of bags with gamma masses (shape 8), mean `meanKg`. */
export function bagsDraw(random: Random, meanKg: Kg, bagKg: Kg): Kg {
  const limit = Math.exp(-meanKg / bagKg);
  let count = 0;
  for (let product = random.next(); product > limit; product *= random.next()) count++;
  return count === 0 ? 0 : (gammaDraw(random, 8 * count) / 8) * bagKg;
}
