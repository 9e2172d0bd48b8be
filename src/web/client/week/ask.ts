/** The questions that the week sheet asks the server: what would follow, and keep it. */
import type { Micros } from '../../../core/quantity/units.ts';

export type Move = { readonly siteId: string; readonly fromDay: string; readonly toDay: string };

type Figures = {
  readonly cost_micros: Micros;
  readonly days: readonly { readonly distance_m: number; readonly duration_s: number }[];
  readonly overflow_kg: number;
  readonly shortage_kg: number;
};
export type Answer = {
  readonly is_feasible: boolean;
  readonly obstacles: readonly { readonly says: string }[];
  readonly broken_promises: readonly { readonly says: string }[];
  readonly does: readonly string[];
  readonly says: readonly string[];
  readonly before: Figures;
  readonly after: Figures | null;
  readonly difference: { readonly [part: string]: Micros } | null;
};
export type Refusal = { readonly refused: string };

const changes = ({ siteId, fromDay, toDay }: Move) => [
  { kind: 'move', site_id: siteId, day: fromDay, to_day: toDay },
];

export const whatIf = (planId: string, move: Move, signal: AbortSignal): Promise<Answer | Refusal> =>
  post(`/api/plans/${planId}/what-if`, { changes: changes(move) }, { signal });

/** @param key the same for every try at the same thing, so that a second press keeps it once */
export const keep = (
  planId: string,
  move: Move,
  { key, breaksPromises }: { readonly key: string; readonly breaksPromises: boolean },
): Promise<{ readonly id: string } | Refusal> =>
  post(
    `/api/plans/${planId}/changes`,
    { changes: changes(move), break_promises: breaksPromises },
    { headers: { 'idempotency-key': `"${key}"` } },
  );

/** Refusals are sentences already: RFC 9457's detail, or its title. */
async function post<T>(path: string, body: unknown, init: RequestInit): Promise<T | Refusal> {
  const answer = await fetch(path, {
    ...init,
    method: 'POST',
    headers: { ...init.headers, 'content-type': 'application/json' },
    body: JSON.stringify(body),
  });
  const json = (await answer.json()) as T & { readonly detail?: string; readonly title?: string };
  return answer.ok ? json : { refused: json.detail ?? json.title ?? 'It was refused.' };
}
