/** How many rows there are of what comes in by tables. */
import { count as sqlCount } from 'drizzle-orm';
import {
  drivers,
  productionDays,
  products,
  shifts,
  sites,
  stockMovements,
  surges,
  vans,
  weighIns,
} from '../../db/schema.ts';
import type { Db } from './db.ts';

export function countRows(db: Db) {
  const tables = {
    sites,
    'weigh-ins': weighIns,
    surges,
    products,
    production: productionDays,
    vans,
    drivers,
    shifts,
    stock: stockMovements,
  };
  const count = (name: keyof typeof tables): number =>
    db.select({ n: sqlCount() }).from(tables[name]).get()?.n ?? 0;
  return Object.fromEntries(
    (Object.keys(tables) as (keyof typeof tables)[]).map((name) => [name, count(name)]),
  ) as { readonly [name in keyof typeof tables]: number };
}
