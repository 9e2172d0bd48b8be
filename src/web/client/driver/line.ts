/** How a fact travels: our own JSON interface, one request a fact, its id as the idempotency key. */
import type { Instant } from '../../../core/quantity/units.ts';
import type { Amounts } from '../../shared/weigh-in-fields.ts';
import type { Fact } from './fact.ts';
import type { Line } from './hand-in.ts';
import type { Answer } from './outbox.ts';
import { contactOf } from './phone-clock.ts';

const iso = (at: Instant): string => new Date(at * 1000).toISOString();

const amountsBody = (amounts: Amounts) => ({
  ...(amounts.grossKg === undefined ? {} : { gross_kg: amounts.grossKg }),
  ...(amounts.tareKg === undefined ? {} : { tare_kg: amounts.tareKg }),
  ...(amounts.netKg === undefined ? {} : { net_kg: amounts.netKg }),
  ...(amounts.bags === undefined ? {} : { bags: amounts.bags }),
  found_full: amounts.foundFull,
  rejected_kg: amounts.rejectedKg,
  ...(amounts.rejectReason === undefined ? {} : { reject_reason: amounts.rejectReason }),
  grades: amounts.grades,
  note: amounts.note,
});

/** Where a fact goes, and as what. */
export function requestOf({ said, at }: Fact & { readonly at: Instant }): { path: string; body: object } {
  switch (said.kind) {
    case 'weigh-in': {
      const replaces = said.replacesId === undefined ? {} : { replaces_id: said.replacesId };
      return {
        path: `/api/driver/stops/${said.stopId}/weigh-in`,
        body: { at: iso(at), ...amountsBody(said.amounts), ...replaces },
      };
    }
    case 'missed': {
      const { reason, note } = said;
      return { path: `/api/driver/stops/${said.stopId}/missed`, body: { at: iso(at), reason, note } };
    }
    case 'mark':
      return { path: `/api/driver/rounds/${said.roundId}/marks`, body: { at: iso(at), mark: said.mark } };
    case 'load':
      return {
        path: `/api/driver/rounds/${said.roundId}/load-weigh-ins`,
        body: { at: iso(at), net_kg: said.netKg },
      };
    case 'pickup':
      return {
        path: `/api/driver/rounds/${said.roundId}/pickups`,
        body: { at: iso(at), site_id: said.siteId, ...amountsBody(said.amounts) },
      };
    case 'off-road':
      return {
        path: `/api/driver/rounds/${said.roundId}/van-off-road`,
        body: { at: iso(at), reason: said.reason },
      };
  }
}

/** Longer than any answer of ours takes; a dead radio cell can hold a request for minutes. */
const PATIENCE_MS = 20_000;

type Fetch = (path: string, init: RequestInit) => Promise<Response>;

/** @param nowAt the phone's clock, s */
export function lineOver(fetch: Fetch, nowAt: () => Instant): Line {
  const ask = async (path: string, init: RequestInit): Promise<Response | undefined> => {
    try {
      const signal = AbortSignal.timeout(PATIENCE_MS);
      return await fetch(path, { redirect: 'manual', cache: 'no-store', signal, ...init });
    } catch {
      return undefined;
    }
  };
  return {
    async call() {
      const askedAt = nowAt();
      const answer = await ask('/driver/clock.json', {});
      if (answer?.status === 401 || answer?.status === 403) return { kind: 'signed-out' };
      const body = answer?.ok ? await jsonOf(answer) : undefined;
      const { driverId, nowAt: serverAt } = body ?? {};
      if (typeof driverId !== 'string' || typeof serverAt !== 'number') return { kind: 'no-signal' };
      return { kind: 'there', driverId, contact: contactOf(askedAt, nowAt(), serverAt) };
    },
    async send(fact) {
      const { path, body } = requestOf(fact);
      const answer = await ask(path, {
        method: 'POST',
        headers: { 'Content-Type': 'application/json', 'Idempotency-Key': `"${fact.id}"` },
        body: JSON.stringify(body),
      });
      return answer ? readAnswer(answer, fact) : { kind: 'no-signal' };
    },
  };
}

/** Only an answer in our own words counts; whatever else stands in between is no answer. */
export async function readAnswer(answer: Response, fact: Fact): Promise<Answer> {
  if (answer.status === 401) return { kind: 'signed-out' };
  const body = await jsonOf(answer);
  if (answer.status === 201)
    return typeof body?.['id'] === 'string' ? { kind: 'taken' } : { kind: 'no-signal' };
  const isOurs = answer.headers.get('content-type')?.startsWith('application/problem+json') ?? false;
  if (!isOurs || !body) return answer.status >= 500 ? { kind: 'later' } : { kind: 'no-signal' };
  if (answer.status >= 500 || answer.status === 429) return { kind: 'later' };
  const { refusal, type, weigh_in_id: weighInId, last } = body;
  // Another phone of this round said the same.
  if (fact.said.kind === 'mark' && refusal === 'out-of-turn' && last === fact.said.mark)
    return { kind: 'taken' };
  const kind = typeof refusal === 'string' ? refusal : String(type ?? '').replace('/problems/', '');
  return { kind: 'refused', refusal: { kind, ...(typeof weighInId === 'string' ? { weighInId } : {}) } };
}

async function jsonOf(answer: Response): Promise<{ readonly [name: string]: unknown } | undefined> {
  try {
    const body: unknown = await answer.json();
    return typeof body === 'object' && body !== null ? (body as { [name: string]: unknown }) : undefined;
  } catch {
    return undefined;
  }
}
