/**
 * Reading a plain HTML form. What was typed is kept as typed, so that a refused form comes back filled, with one
 * sentence beside each field that needs another look.
 */
import type { Context } from 'hono';
import type { output, ZodType } from 'zod';

export type Typed = { readonly [field: string]: string };
/** Sentence by field name; '' is for the form as a whole. */
export type FieldErrors = { readonly [field: string]: string };

export type FormRead<T> =
  | { readonly ok: true; readonly value: T; readonly typed: Typed }
  | { readonly ok: false; readonly typed: Typed; readonly errors: FieldErrors };

/** A form's text only: files are not taken, a field sent several times arrives as its last value. */
export async function readTyped(c: Context): Promise<Typed> {
  const body = await c.req.parseBody();
  const typed: Record<string, string> = {};
  for (const [name, value] of Object.entries(body)) if (typeof value === 'string') typed[name] = value;
  return typed;
}

/** Empty fields count as not sent, so that `.optional()` in a schema means "may be left empty". */
export async function readForm<S extends ZodType>(c: Context, schema: S): Promise<FormRead<output<S>>> {
  const typed = await readTyped(c);
  const filled = Object.fromEntries(Object.entries(typed).filter(([, value]) => value.trim() !== ''));
  const parsed = schema.safeParse(filled);
  if (parsed.success) return { ok: true, value: parsed.data, typed };
  const errors: Record<string, string> = {};
  for (const { path, message } of parsed.error.issues) {
    const field = path.map(String).join('.');
    errors[field] ??= message;
  }
  return { ok: false, typed, errors };
}
