/**
 * Masses and variances are counted in 2^-20 kg (about a milligram). Such numbers are dyadic, so doubles add and
 * subtract them without any rounding as long as sums stay below 2^33 kg: a load that loses a stop and gains it
 * back is the same to the last bit, in any order.
 */
const PER_UNIT = 2 ** 20;

export const quantum = (value: number): number => Math.round(value * PER_UNIT) / PER_UNIT;
