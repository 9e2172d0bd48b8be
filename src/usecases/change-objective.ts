/**
 * What a plan is weighed by: every price, weight and bound of the objective, read and changed as flat numbers by key,
 * in one transaction with its journal entry. Keys of settings are their path (`prices.overtimeMicrosPerHour`); what
 * stands in the register is named by its row (`vans/ID`, `drivers/ID`, `grades/GRADE`). Units are those of the name:
 * whole millionths of the currency, seconds, shares from 0 to 1, days.
 */
import { createHash } from 'node:crypto';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Db } from '../store/db.ts';
import { inTransaction } from '../store/db.ts';
import { listDrivers, saveDriver } from '../store/drivers.ts';
import { appendEntry, readEntriesAbout } from '../store/journal.ts';
import { readFacts } from '../store/journal-kinds.ts';
import { defaultSettings, type Settings, SettingsSchema } from '../store/settings.ts';
import { listVans, saveVan } from '../store/vans.ts';
import { listGrades, requireWorkshop, saveGrades, saveWorkshop } from '../store/workshop.ts';
import type { Context } from './context.ts';

/** In the order in which people read them. */
export const SETTING_KEYS = [
  'prices.overtimeMicrosPerHour',
  'prices.maxOvertimeS',
  'prices.unloadS',
  'prices.unloadMicros',
  'breakRule.maxWorkS',
  'breakRule.breakS',
  'prices.overflowMicros',
  'prices.overflowMicrosPerDay',
  'prices.overflowMicrosPerKg',
  'calls.reliability',
  'calls.fromShare',
  'calls.premiumMicros',
  'prices.storeOverflowMicrosPerKgDay',
  'prices.contaminationShare',
  'prices.endValueShare',
  'prices.endCoverDays',
  'prices.brokenPromiseMicros',
  'prices.brokenHabitMicros',
  'prices.changeMicros',
  'loadQuantile',
  'prices.commonSd',
  'horizonDays',
  'searchIterations',
] as const;
export type SettingKey = (typeof SETTING_KEYS)[number];

export type RegisterPrice = {
  readonly key: string;
  readonly kind: 'van' | 'driver' | 'grade';
  /** The van's or driver's name, or what the workshop calls the grade. */
  readonly name: string;
  readonly micros: number;
};

export type Objective = {
  readonly settings: { readonly [key in SettingKey]: number };
  readonly defaults: { readonly [key in SettingKey]: number };
  /** Per kilometre, hour and kilogram: they stand with the van, the driver and the grade. */
  readonly register: readonly RegisterPrice[];
  /** Tells this state from any other, so that a form knows what it was made on. */
  readonly version: string;
};

type Tree = { [name: string]: unknown };

const valueAt = (settings: Settings, key: SettingKey): number =>
  key.split('.').reduce<unknown>((tree, name) => (tree as Tree)[name], settings) as number;

const valuesOf = (settings: Settings): Objective['settings'] =>
  Object.fromEntries(SETTING_KEYS.map((key) => [key, valueAt(settings, key)])) as Objective['settings'];

export function readObjective(db: Db): Objective {
  const settings = valuesOf(requireWorkshop(db).settings);
  const register: RegisterPrice[] = [
    ...listVans(db).map(({ id, name, costMicrosPerKm }) => ({
      key: `vans/${id}`,
      kind: 'van' as const,
      name,
      micros: costMicrosPerKm,
    })),
    ...listDrivers(db).map(({ id, name, costMicrosPerHour }) => ({
      key: `drivers/${id}`,
      kind: 'driver' as const,
      name,
      micros: costMicrosPerHour,
    })),
    ...listGrades(db).map(({ grade, name, buyPriceMicrosPerKg }) => ({
      key: `grades/${grade}`,
      kind: 'grade' as const,
      name,
      micros: buyPriceMicrosPerKg,
    })),
  ];
  const version = createHash('sha256')
    .update(JSON.stringify([settings, register]))
    .digest('hex')
    .slice(0, 16);
  return { settings, defaults: valuesOf(defaultSettings()), register, version };
}

export type ObjectiveRequest = {
  /** Only what shall change; by key. */
  readonly values: { readonly [key: string]: number };
  /** The version that the person saw; absent: whatever it is now. */
  readonly version?: string;
  readonly actor: string;
};

/** `bound` says on which side; absent where the value is of the wrong sort, a fraction of a day for example. */
export type ObjectiveFault = {
  readonly key: string;
  readonly kind: 'unknown' | 'too-small' | 'too-big' | 'not-whole';
  readonly bound?: number;
};

export type ObjectiveRefusal =
  | { readonly kind: 'not-valid'; readonly faults: readonly ObjectiveFault[] }
  /** Somebody else saved meanwhile. */
  | { readonly kind: 'changed-meanwhile' };

export type ChangedValue = { readonly key: string; readonly from: number; readonly to: number };
const OBJECTIVE_CHANGED = 'objective-changed';

/** All or nothing. Saving what stands already writes nothing. */
export function changeObjective(
  { store, now }: Context,
  { values, version, actor }: ObjectiveRequest,
): Result<{ readonly changed: readonly ChangedValue[] }, ObjectiveRefusal> {
  return inTransaction(store, (tx) => {
    const before = readObjective(tx);
    if (version !== undefined && version !== before.version) return refuse({ kind: 'changed-meanwhile' });
    const known = new Map<string, number>([
      ...SETTING_KEYS.map((key) => [key, before.settings[key]] as const),
      ...before.register.map(({ key, micros }) => [key, micros] as const),
    ]);
    const unknown = Object.keys(values).filter((key) => !known.has(key));
    const changed = [...known].flatMap(([key, from]): ChangedValue[] => {
      const to = values[key];
      return to === undefined || to === from ? [] : [{ key, from, to }];
    });
    const workshop = requireWorkshop(tx);
    const settings = withValues(workshop.settings, changed);
    const faults = [
      ...unknown.map((key): ObjectiveFault => ({ key, kind: 'unknown' })),
      ...settings.faults,
      ...changed.flatMap(registerFault),
    ];
    if (faults.length > 0) return refuse({ kind: 'not-valid', faults });
    if (changed.length === 0) return ok({ changed });

    saveWorkshop(tx, { ...workshop, settings: settings.value! });
    const to = new Map(changed.map((value) => [value.key, value.to]));
    for (const van of listVans(tx)) {
      const costMicrosPerKm = to.get(`vans/${van.id}`);
      if (costMicrosPerKm !== undefined) saveVan(tx, { ...van, costMicrosPerKm });
    }
    for (const driver of listDrivers(tx)) {
      const costMicrosPerHour = to.get(`drivers/${driver.id}`);
      if (costMicrosPerHour !== undefined) saveDriver(tx, { ...driver, costMicrosPerHour });
    }
    const grades = listGrades(tx);
    if (grades.some(({ grade }) => to.has(`grades/${grade}`)))
      saveGrades(
        tx,
        grades.map((row) => ({
          ...row,
          buyPriceMicrosPerKg: to.get(`grades/${row.grade}`) ?? row.buyPriceMicrosPerKg,
        })),
      );
    appendEntry(tx, {
      at: now(),
      kind: OBJECTIVE_CHANGED,
      subject: 'workshop:workshop',
      actor,
      facts: { changed },
    });
    return ok({ changed });
  });
}

const isSetting = (key: string): boolean => SETTING_KEYS.some((one) => one === key);

/** The settings with the new values, as the schema of the store takes them, or what it finds wrong, by key. */
function withValues(
  settings: Settings,
  changed: readonly ChangedValue[],
): { readonly value?: Settings; readonly faults: readonly ObjectiveFault[] } {
  const tree = structuredClone(settings) as Tree;
  for (const { key, to } of changed) {
    if (!isSetting(key)) continue;
    const path = key.split('.');
    const leaf = path.pop()!;
    path.reduce<Tree>((inner, name) => inner[name] as Tree, tree)[leaf] = to;
  }
  const parsed = SettingsSchema.safeParse(tree);
  if (parsed.success) return { value: parsed.data, faults: [] };
  return {
    faults: parsed.error.issues.map((issue): ObjectiveFault => {
      const key = issue.path.map(String).join('.');
      if (issue.code === 'too_small') return { key, kind: 'too-small', bound: Number(issue.minimum) };
      if (issue.code === 'too_big') return { key, kind: 'too-big', bound: Number(issue.maximum) };
      return { key, kind: 'not-whole' };
    }),
  };
}

/** A thousand of the currency a kilometre, hour or kilogram is a slip of the pen. */
export const MOST_MICROS = 1_000_000_000;

function registerFault({ key, to }: ChangedValue): ObjectiveFault | [] {
  if (isSetting(key)) return [];
  if (!Number.isInteger(to)) return { key, kind: 'not-whole' };
  if (to < 0) return { key, kind: 'too-small', bound: 0 };
  if (to > MOST_MICROS) return { key, kind: 'too-big', bound: MOST_MICROS };
  return [];
}

export type ObjectiveChange = {
  readonly at: number;
  readonly actor: string;
  readonly changed: readonly ChangedValue[];
};

/** Newest first. */
export const objectiveChanges = (db: Db, limit = 10): ObjectiveChange[] =>
  readEntriesAbout(db, 'workshop:workshop', OBJECTIVE_CHANGED, limit).flatMap(({ at, actor, facts }) => {
    const read = readFacts(OBJECTIVE_CHANGED, facts);
    return read === undefined ? [] : [{ at, actor, changed: read.changed }];
  });
