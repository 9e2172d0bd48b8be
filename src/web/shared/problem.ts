/**
 * Errors of the JSON interface as RFC 9457 problem details. A refusal is facts; its status and title are here,
 * one row a kind, for every route alike. HTML routes take their status and sentence from the same rows.
 */
import type { Context, MiddlewareHandler } from 'hono';
import type { z } from 'zod';

export type ProblemStatus = 400 | 401 | 403 | 404 | 405 | 409 | 410 | 413 | 415 | 422 | 429 | 500 | 503;

export const PROBLEMS = {
  malformed: { status: 400, title: 'The request could not be read' },
  'sign-in-needed': { status: 401, title: 'Sign in first' },
  'not-yours': { status: 403, title: 'This is for someone else' },
  'foreign-origin': { status: 403, title: 'The request came from another site' },
  'not-found': { status: 404, title: 'There is nothing here' },
  'no-such-site': { status: 404, title: 'No such site' },
  'no-such-plan': { status: 404, title: 'No such plan' },
  'no-such-planning-run': { status: 404, title: 'No such planning run' },
  'no-such-round': { status: 404, title: 'No such round' },
  'no-such-stop': { status: 404, title: 'No such stop' },
  'no-such-weigh-in': { status: 404, title: 'No such weigh-in' },
  'no-such-link': { status: 404, title: 'No such link' },
  'method-not-allowed': { status: 405, title: 'This address does not answer to that method' },
  'plan-not-a-draft': { status: 409, title: 'The plan is not a draft any more' },
  'already-planning': { status: 409, title: 'The week is being planned already' },
  'planning-run-over': { status: 409, title: 'The planning run is over' },
  'stop-already-closed': { status: 409, title: 'The stop is already closed' },
  'offer-gone': { status: 409, title: 'The offer is not to be had any more' },
  'out-of-date': { status: 409, title: 'Something changed in the meantime' },
  'link-spent': { status: 410, title: 'This link has been used, withdrawn or has expired' },
  'too-large': { status: 413, title: 'The body is too large' },
  'not-json': { status: 415, title: 'Send the body as application/json' },
  'invalid-body': { status: 422, title: 'The body does not match the schema' },
  'invalid-query': { status: 422, title: 'The address does not match the schema' },
  'cannot-be-done': { status: 422, title: 'This cannot be done' },
  'too-many': { status: 429, title: 'Too many requests' },
  internal: { status: 500, title: 'Something broke on our side' },
  busy: { status: 503, title: 'Busy; try again in a moment' },
} as const satisfies { readonly [kind: string]: { readonly status: ProblemStatus; readonly title: string } };
export type ProblemKind = keyof typeof PROBLEMS;

/** Extension members may not shadow the ones RFC 9457 defines. */
export type ProblemMembers = { readonly [name: string]: unknown } & {
  readonly [reserved in 'type' | 'title' | 'status' | 'instance']?: never;
};

/** RFC 9110, 15.5.2: a 401 says how to come in; RFC 6750, 3 gives the words. */
const CHALLENGE = 'Bearer realm="feedround"';

export const PROBLEM_TYPE = 'application/problem+json';

/** `detail` is for people: what is wrong and how to mend it. */
export function problem(c: Context, kind: ProblemKind, members: ProblemMembers = {}): Response {
  const { status, title } = PROBLEMS[kind];
  const body = { type: `/problems/${kind}`, title, status, instance: c.req.path, ...members };
  if (status === 401) c.header('WWW-Authenticate', CHALLENGE);
  return c.body(JSON.stringify(body), status, { 'Content-Type': PROBLEM_TYPE });
}

/** A refusal's own fields become extension members. */
export const refuse = (c: Context, refusal: { readonly kind: ProblemKind } & ProblemMembers): Response => {
  const { kind, ...members } = refusal;
  return problem(c, kind, members);
};

/** Without this, a body sent under another content type would reach a schema as `{}`. */
export const requireJson: MiddlewareHandler = async (c, next) => {
  const type = c.req.header('content-type') ?? '';
  if (!/^application\/([\w.-]+\+)?json\b/i.test(type)) return problem(c, 'not-json');
  return next();
};

/** RFC 6901 in URI fragment form, `#/stops/0/netKg`. */
export const pointerOf = (path: readonly PropertyKey[]): string =>
  `#${path.map((key) => `/${String(key).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('')}`;

/** Every zod issue with a pointer to the place it is about. */
export function invalid(
  c: Context,
  error: z.ZodError,
  kind: 'invalid-body' | 'invalid-query' = 'invalid-body',
): Response {
  const errors = error.issues.map(({ message, path }) => ({ detail: message, pointer: pointerOf(path) }));
  const count = errors.length === 1 ? 'One value is' : `${errors.length} values are`;
  return problem(c, kind, { detail: `${count} wrong; see errors`, errors });
}
