/** What things of the register are called, for sentences about them. Read when asked for, once. */
import type { Db } from '../../store/db.ts';
import { listDonors } from '../../store/donors.ts';
import { listDrivers } from '../../store/drivers.ts';
import { listProducts } from '../../store/products.ts';
import { listShifts } from '../../store/shifts.ts';
import { listSites } from '../../store/sites.ts';
import { listVans } from '../../store/vans.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import { dayShort } from './format.ts';

export type NamedKind = 'site' | 'van' | 'driver' | 'product' | 'donor' | 'shift';
export type Names = {
  readonly zone: string;
  readonly workshop: string;
  readonly currency: string;
  /** The id itself where nothing has it any more. */
  readonly of: (kind: NamedKind, id: string) => string;
};

const LISTS: {
  readonly [kind in NamedKind]: (db: Db) => readonly { readonly id: string; readonly name: string }[];
} = {
  site: listSites,
  van: listVans,
  driver: listDrivers,
  product: listProducts,
  donor: listDonors,
  shift: listShiftNames,
};

/** "the Long Van on Tue 16 Jun". */
function listShiftNames(db: Db): { readonly id: string; readonly name: string }[] {
  const vans = new Map(listVans(db).map((van) => [van.id, van.name]));
  return listShifts(db).map(({ id, vanId, day }) => ({
    id,
    name: `${vans.get(vanId) ?? vanId} on ${dayShort(day)}`,
  }));
}

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
