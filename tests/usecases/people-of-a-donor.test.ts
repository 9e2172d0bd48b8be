/** Several people of one donor, each with a link of their own: ending one shuts out that person and nobody else. */
import { expect, test } from 'vitest';
import { closeStore } from '../../src/store/db.ts';
import { createLink, enter, findSession, revokeLink } from '../../src/usecases/access.ts';
import { publishedStore } from '../fixtures/published-store.ts';

const linkFor = (context: ReturnType<typeof publishedStore>['context'], person?: string) => {
  const made = createLink(context, {
    role: 'donor',
    subjectId: 'd1',
    actor: 'test',
    ...(person === undefined ? {} : { person }),
  });
  if (!made.ok) throw new Error(made.refusal.kind);
  return made.value;
};

test('a link ends with the sessions that were opened by it, and the others stay', () => {
  const { context, store } = publishedStore();
  const [ina, odo] = [linkFor(context, 'Ina'), linkFor(context, 'Odo')];
  const sessions = [ina, ina, odo].map((link) => enter(context, 'donor', link.token)!.token);
  expect(sessions.map((token) => findSession(context, token)?.label)).toEqual(['Ina', 'Ina', 'Odo']);
  expect(revokeLink(context, { hash: ina.hash, actor: 'test' })).toEqual({ ok: true, value: { ended: 3 } });
  expect(sessions.map((token) => findSession(context, token)?.label)).toEqual([undefined, undefined, 'Odo']);
  expect(enter(context, 'donor', ina.token)).toBeUndefined();
  closeStore(store);
});

test('a session from before links were kept ends with any link of the donor', () => {
  const { context, store } = publishedStore();
  const link = linkFor(context);
  const { token } = enter(context, 'donor', link.token)!;
  store.$client.exec("UPDATE access_tokens SET link_hash = NULL WHERE purpose = 'session'");
  revokeLink(context, { hash: linkFor(context, 'Odo').hash, actor: 'test' });
  expect(findSession(context, token)).toBeUndefined();
  expect(link.label).toBe('First donor');
  closeStore(store);
});
