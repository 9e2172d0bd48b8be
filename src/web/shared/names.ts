/** What things of the register are called, for sentences about them. Read when asked for, once. */
import type { Db } from '../../store/db.ts';
import { listDonors } from '../../store/donors.ts';
import { listDrivers } from '../../store/drivers.ts';
import { listProducts } from '../../store/products.ts';
import { listSites } from '../../store/sites.ts';
import { listVans } from '../../store/vans.ts';
import { requireWorkshop } from '../../store/workshop.ts';

export type NamedKind = 'site' | 'van' | 'driver' | 'product' | 'donor';
export type Names = {
  readonly zone: string;
  readonly workshop: string;
  readonly currency: string;
  /** The id itself where nothing has it any more. */
  readonly of: (kind: NamedKind, id: string) => string;
};

const LISTS: {
  readonly [kind in NamedKind]: (db: Db) => readonly { readonly id: string; readonly name: string }[];
} = { site: listSites, van: listVans, driver: listDrivers, product: listProducts, donor: listDonors };

export function readNames(db: Db): Names {
  const { zone, name, currency } = requireWorkshop(db);
  const known = new Map<NamedKind, ReadonlyMap<string, string>>();
  return {
    zone,
    workshop: name,
    currency,
    of(kind, id) {
      const names = known.get(kind) ?? new Map(LISTS[kind](db).map((row) => [row.id, row.name]));
      known.set(kind, names);
      return names.get(id) ?? id;
    },
  };
}
