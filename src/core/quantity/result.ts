/** What a rule can answer: a value, or a refusal made of facts. Broken assumptions throw instead. */
export type Result<T, R> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly refusal: R };

export const ok = <T>(value: T): { readonly ok: true; readonly value: T } => ({
  ok: true,
  value,
});
export const refuse = <R>(refusal: R): { readonly ok: false; readonly refusal: R } => ({
  ok: false,
  refusal,
});
