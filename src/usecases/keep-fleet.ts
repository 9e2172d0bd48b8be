/** A van or a driver comes into the register, or is described anew; each with its journal entry. */
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { LocalDay } from '../core/quantity/units.ts';
import { inTransaction } from '../store/db.ts';
import { type Driver, getDriver, listDrivers, saveDriver } from '../store/drivers.ts';
import { appendEntry } from '../store/journal.ts';
import { getVan, listVans, saveVan, type Van } from '../store/vans.ts';
import type { Context } from './context.ts';

export type VanFacts = Pick<Van, 'name' | 'payloadKg' | 'loadSpaceL' | 'costMicrosPerKm' | 'checkDueDay'>;
export type DriverFacts = Pick<Driver, 'name' | 'email' | 'costMicrosPerHour'>;

export type FleetRefusal = { readonly kind: 'van-not-found' | 'driver-not-found' | 'name-taken' };

/** @param id of a van that is there; without, it is a new one. The same again changes nothing. */
export function keepVan(
  { store, now, newId }: Context,
  { id, facts, actor }: { readonly id?: string; readonly facts: VanFacts; readonly actor: string },
): Result<{ readonly id: string }, FleetRefusal> {
  return inTransaction(store, (tx) => {
    const before = id === undefined ? undefined : getVan(tx, id);
    if (id !== undefined && !before) return refuse({ kind: 'van-not-found' });
    const others = listVans(tx).filter((van) => van.id !== id);
    if (others.some(({ name }) => isSameName(name, facts.name))) return refuse({ kind: 'name-taken' });
    const van: Van = before
      ? { ...before, ...facts }
      : { ...facts, id: newId(), key: freeKey(facts.name, others), offRoadFromAt: null };
    if (before && isSame(before, van)) return ok({ id: van.id });
    saveVan(tx, van);
    const subject = `van:${van.id}`;
    appendEntry(tx, { at: now(), kind: 'van-kept', subject, actor, facts: { isNew: !before, ...facts } });
    return ok({ id: van.id });
  });
}

/** @param id of a driver who is there; without, it is a new one. The same again changes nothing. */
export function keepDriver(
  { store, now, newId }: Context,
  { id, facts, actor }: { readonly id?: string; readonly facts: DriverFacts; readonly actor: string },
): Result<{ readonly id: string }, FleetRefusal> {
  return inTransaction(store, (tx) => {
    const before = id === undefined ? undefined : getDriver(tx, id);
    if (id !== undefined && !before) return refuse({ kind: 'driver-not-found' });
    const others = listDrivers(tx).filter((driver) => driver.id !== id);
    if (others.some(({ name }) => isSameName(name, facts.name))) return refuse({ kind: 'name-taken' });
    const driver: Driver = before
      ? { ...before, ...facts }
      : { ...facts, id: newId(), key: freeKey(facts.name, others) };
    if (before && isSame(before, driver)) return ok({ id: driver.id });
    saveDriver(tx, driver);
    // Where a person is written to does not belong into a record that is kept for ever.
    const { email: _, ...told } = facts;
    const subject = `driver:${driver.id}`;
    appendEntry(tx, { at: now(), kind: 'driver-kept', subject, actor, facts: { isNew: !before, ...told } });
    return ok({ id: driver.id });
  });
}

/** A van's next safety check by law or by the workshop's own rule is `day` or is past. */
export const isCheckDue = ({ checkDueDay }: Pick<Van, 'checkDueDay'>, day: LocalDay): boolean =>
  checkDueDay !== null && checkDueDay <= day;

const isSameName = (a: string, b: string): boolean =>
  a.trim().toLocaleLowerCase('en') === b.trim().toLocaleLowerCase('en');
const isSame = <T extends object>(a: T, b: T): boolean =>
  (Object.keys(b) as (keyof T)[]).every((name) => a[name] === b[name]);

/** "Tall white van" → `tall-white-van`, with a number where another has it: the key of its row in tables. */
function freeKey(name: string, others: readonly { readonly key: string }[]): string {
  const plain = name.normalize('NFKD').toLowerCase();
  const stem = plain.replaceAll(/[^a-z0-9]+/g, '-').replaceAll(/^-+|-+$/g, '') || 'one';
  const taken = new Set(others.map(({ key }) => key));
  let key = stem;
  for (let n = 2; taken.has(key); n++) key = `${stem}-${n}`;
  return key;
}
