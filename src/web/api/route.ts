/** One way to declare a route, so that every one has its problems, its id and its body rules. */
import { createRoute, type z } from '@hono/zod-openapi';
import type { Context, Env } from 'hono';
import type { ZodError } from 'zod';
import { invalid, problem, requireJson } from '../shared/problem.ts';
import { Problem } from './schemas.ts';

const PROBLEM_CONTENT = { 'application/problem+json': { schema: Problem } };
const refusals = {
  400: { description: 'The request could not be read', content: PROBLEM_CONTENT },
  401: { description: 'Sign in first', content: PROBLEM_CONTENT },
  403: { description: 'This is for someone else', content: PROBLEM_CONTENT },
  404: { description: 'There is nothing here', content: PROBLEM_CONTENT },
  409: { description: 'Something stands against it', content: PROBLEM_CONTENT },
  415: { description: 'Send the body as application/json', content: PROBLEM_CONTENT },
  503: { description: 'Still at work; Retry-After says when to ask again', content: PROBLEM_CONTENT },
  422: { description: 'Readable, but wrong; `errors` says where', content: PROBLEM_CONTENT },
} as const;

type Declared<
  M extends 'get' | 'post' | 'put' | 'delete',
  P extends string,
  S extends 200 | 201 | 202,
  R extends z.ZodType,
  Params extends z.ZodObject | undefined,
  Query extends z.ZodObject | undefined,
  Body extends z.ZodType | undefined,
> = {
  readonly method: M;
  readonly path: P;
  readonly operationId: string;
  readonly summary: string;
  readonly tag: string;
  readonly status: S;
  readonly answer: R;
  readonly params?: Params;
  readonly query?: Query;
  readonly body?: Body;
  /** The request hands in a fact and carries the header Idempotency-Key. */
  readonly keyed?: true;
  /** The answer names in its header Location where to look. */
  readonly located?: true;
};

const LOCATION_HEADER = {
  Location: { description: 'Where to look how far it is', schema: { type: 'string' as const } },
};

const KEY_HEADER = {
  name: 'Idempotency-Key',
  in: 'header' as const,
  required: true,
  description:
    'A fresh key for each new fact, the same key when the request is repeated (IETF httpapi draft): 8 to 64 letters, digits, - or _, as a structured-field string.',
  schema: { type: 'string' as const },
  example: '"8e03978e-40d5-43e8-bc93-6894a57f9324"',
};

export function declare<
  M extends 'get' | 'post' | 'put' | 'delete',
  P extends string,
  S extends 200 | 201 | 202,
  R extends z.ZodType,
  Params extends z.ZodObject | undefined = undefined,
  Query extends z.ZodObject | undefined = undefined,
  Body extends z.ZodType | undefined = undefined,
>(d: Declared<M, P, S, R, Params, Query, Body>) {
  return createRoute({
    method: d.method,
    path: d.path,
    operationId: d.operationId,
    summary: d.summary,
    tags: [d.tag],
    security: [{ link: [] }],
    ...(d.keyed ? { parameters: [KEY_HEADER] } : {}),
    middleware: d.body ? [requireJson] : [],
    request: {
      ...(d.params ? { params: d.params } : {}),
      ...(d.query ? { query: d.query } : {}),
      ...(d.body ? { body: { required: true, content: { 'application/json': { schema: d.body } } } } : {}),
    } as {
      params: Params extends z.ZodObject ? Params : never;
      query: Query extends z.ZodObject ? Query : never;
      body: Body extends z.ZodType
        ? { required: true; content: { 'application/json': { schema: Body } } }
        : never;
    },
    responses: {
      [d.status]: {
        description: d.summary,
        content: { 'application/json': { schema: d.answer } },
        ...(d.located ? { headers: LOCATION_HEADER } : {}),
      },
      ...refusals,
    } as {
      [status in S]: { description: string; content: { 'application/json': { schema: R } } };
    } & typeof refusals,
  });
}

/** Whatever zod refuses, anywhere: a problem document that points at each place. */
export function refuseInvalid<E extends Env>(
  result:
    | { readonly success: true }
    | { readonly success: false; readonly target: string; readonly error: ZodError },
  c: Context<E>,
): Response | undefined {
  if (result.success) return undefined;
  if (result.target === 'param') return problem(c, 'not-found');
  return invalid(c, result.error, result.target === 'json' ? 'invalid-body' : 'invalid-query');
}
