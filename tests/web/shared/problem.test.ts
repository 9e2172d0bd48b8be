import { Hono } from 'hono';
import { expect, test } from 'vitest';
import { z } from 'zod';
import { readForm } from '../../../src/web/shared/form.ts';
import { invalid, pointerOf, refuse, requireJson } from '../../../src/web/shared/problem.ts';

const Body = z.strictObject({ netKg: z.number().min(0).optional(), stops: z.array(z.string()).optional() });
const app = new Hono()
  .post('/weigh', requireJson, async (c) => {
    const parsed = Body.safeParse(await c.req.json());
    return parsed.success ? c.json(parsed.data) : invalid(c, parsed.error);
  })
  .get('/gone', (c) => refuse(c, { kind: 'no-such-site', siteId: 'abc' }))
  .post('/form', async (c) =>
    c.json(
      await readForm(
        c,
        z.strictObject({
          bags: z.coerce.number('Type a number').int('Whole bags'),
          note: z.string().optional(),
        }),
      ),
    ),
  );
const post = (path: string, body: string, type: string) =>
  app.request(path, { method: 'POST', body, headers: { 'content-type': type } });

test('a body of another content type is refused instead of read as empty', async () => {
  const answer = await post('/weigh', '{"netKg":4}', 'text/plain');
  expect(answer.status).toBe(415);
  expect(answer.headers.get('content-type')).toBe('application/problem+json');
});

test.each(['application/json', 'application/json; charset=utf-8', 'application/merge-patch+json'])(
  '%s is JSON',
  async (type) => {
    expect(await (await post('/weigh', '{"netKg":4}', type)).json()).toEqual({ netKg: 4 });
  },
);

test('every fault is told with a pointer to its place (RFC 9457, section 3; RFC 6901, section 6)', async () => {
  const answer = await post('/weigh', '{"netKg":-1,"stops":["a",2]}', 'application/json');
  expect(answer.status).toBe(422);
  const body = (await answer.json()) as { errors: { pointer: string }[]; status: number; type: string };
  expect(body.status).toBe(422);
  expect(body.type).toBe('/problems/invalid-body');
  expect(body.errors.map((error) => error.pointer)).toEqual(['#/netKg', '#/stops/1']);
});

test('a slash and a tilde in a name are escaped in a pointer (RFC 6901, section 3)', () => {
  expect(pointerOf(['a/b', 'm~n', 0])).toBe('#/a~1b/m~0n/0');
});

test('a refusal’s own facts become members, its status and title come from the table', async () => {
  const answer = await app.request('/gone');
  expect(answer.status).toBe(404);
  expect(await answer.json()).toEqual({
    type: '/problems/no-such-site',
    title: 'No such site',
    status: 404,
    instance: '/gone',
    siteId: 'abc',
  });
});

test('a refused form keeps what was typed, as typed', async () => {
  const answer = await post('/form', 'bags=+3.5&note=', 'application/x-www-form-urlencoded');
  expect(await answer.json()).toEqual({
    ok: false,
    typed: { bags: ' 3.5', note: '' },
    errors: { bags: 'Whole bags' },
  });
});

test('an empty field of a form counts as not sent', async () => {
  const answer = await post('/form', 'bags=3&note=', 'application/x-www-form-urlencoded');
  expect(await answer.json()).toMatchObject({ ok: true, value: { bags: 3 } });
});
