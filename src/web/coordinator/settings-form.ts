/**
 * The form of the settings: what stands in each field, and what a sent form asks for. Fields are named by the keys of
 * the objective; what was typed is kept as typed.
 */
import { type Objective, SETTING_KEYS, type SettingKey } from '../../usecases/change-objective.ts';
import type { FieldErrors, Typed } from '../shared/form.ts';
import { measureOf, storedOf, typedOf } from '../shared/objective-amounts.ts';

export type SettingsForm = { readonly typed: Typed; readonly errors: FieldErrors };

const valuesOf = (objective: Objective): readonly (readonly [string, number])[] => [
  ...SETTING_KEYS.map((key) => [key, objective.settings[key]] as const),
  ...objective.register.map(({ key, micros }) => [key, micros] as const),
];

export const freshSettings = (objective: Objective): SettingsForm => ({
  typed: Object.fromEntries(valuesOf(objective).map(([key, value]) => [key, typedOf(measureOf(key), value)])),
  errors: {},
});

export const defaultTyped = (objective: Objective, key: SettingKey): string =>
  typedOf(measureOf(key), objective.defaults[key]);

/** `reset` names one setting or `all`: its field goes back to the default, everything else stays as typed. */
export function withDefaults(objective: Objective, typed: Typed, reset: string): SettingsForm {
  const back = SETTING_KEYS.filter((key) => reset === 'all' || reset === key);
  return {
    typed: {
      ...freshSettings(objective).typed,
      ...typed,
      ...Object.fromEntries(back.map((key) => [key, defaultTyped(objective, key)])),
    },
    errors: {},
  };
}

/** A decimal point or a comma; spaces between thousands are taken. */
function readNumber(text: string): number | undefined {
  const bare = text.replaceAll(/[\s\u00a0\u202f]/g, '').replace(',', '.');
  return /^-?\d+(\.\d+)?$/.test(bare) ? Number(bare) : undefined;
}

/** Values by key of every field that now says something else, or the sentence beside each that cannot be read. */
export function settingsValues(
  objective: Objective,
  typed: Typed,
):
  | { readonly ok: true; readonly values: { readonly [key: string]: number } }
  | { readonly ok: false; readonly errors: FieldErrors } {
  const errors: { [field: string]: string } = {};
  const values: { [key: string]: number } = {};
  for (const [key, now] of valuesOf(objective)) {
    const measure = measureOf(key);
    const text = typed[key];
    // What is shown is rounded: an untouched field must not round what is kept.
    if (text === undefined || text === typedOf(measure, now)) continue;
    const shown = readNumber(text);
    if (shown === undefined) errors[key] = `Write a number, such as ${typedOf(measure, now)}.`;
    else values[key] = storedOf(measure, shown);
  }
  return Object.keys(errors).length > 0 ? { ok: false, errors } : { ok: true, values };
}
