/** The border between the database's whole grams and everybody else's kilograms. Only the store knows grams. */
import type { Kg } from '../core/quantity/units.ts';

export const toG = (kg: Kg): number => Math.round(kg * 1000);
export const toKg = (g: number): Kg => g / 1000;
/** As it will be read back: what is compared with the database must be rounded as the database rounds. */
export const inWholeGrams = (kg: Kg): Kg => toKg(toG(kg));
export const toGOrNull = (kg: Kg | null): number | null => (kg === null ? null : toG(kg));
export const toKgOrNull = (g: number | null): Kg | null => (g === null ? null : toKg(g));
