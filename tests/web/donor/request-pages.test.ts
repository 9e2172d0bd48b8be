/** Asking without a link: open to people, closed to machines, and it lands with the coordinator. */

import { Hono } from 'hono';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { closeStore } from '../../../src/store/db.ts';
import { listOpenPlaceRequests } from '../../../src/store/place-requests.ts';
import { requestPlace } from '../../../src/usecases/request-place.ts';
import { requestPages } from '../../../src/web/donor/request-pages.tsx';
import { formGuard } from '../../../src/web/shared/form-guard.ts';
import { publishedStore } from '../../fixtures/published-store.ts';

type World = ReturnType<typeof publishedStore>;
let world: World;
let nowAt: number;
let address: string;
beforeEach(() => {
  world = publishedStore();
  nowAt = world.context.now();
  address = '192.0.2.1';
});
afterEach(() => closeStore(world.store));

function openForm() {
  const { context } = world;
  const app = new Hono().route(
    '/',
    requestPages({
      now: () => nowAt,
      newId: context.newId,
      readWorkshop: () => ({ name: 'The Press', zone: 'Europe/Vienna', phone: '' }),
      requestPlace: (place) => void requestPlace(context, place),
      guard: formGuard(new Uint8Array(32)),
      addressOf: () => address,
    }),
  );
  const read = async (answer: Response | Promise<Response>) => {
    const { status } = await answer;
    return { status, html: await (await answer).text() };
  };
  const open = async () => {
    const { html } = await read(app.request('/request'));
    const value = (name: string): string =>
      new RegExp(`name="${name}" value="([^"]*)"`).exec(html)?.[1] ?? '';
    return { html, factId: value('factId'), stamp: value('stamp'), untilDay: '2026-06-20' };
  };
  const send = (fields: Record<string, string>) =>
    read(app.request('/request', { method: 'POST', body: new URLSearchParams(fields) }));
  return { open, send };
}
const SAID = {
  name: 'River clean-up',
  contact: 'river@clean.example',
  place: 'Mill meadow, by the weir',
  eventKind: 'clean-up',
  eventEndsLocal: '2026-06-15T09:00',
  sacks: '12,5',
  remarks: '',
};
const waiting = () => listOpenPlaceRequests(world.store);

test('asks eight things, two of them answered, and takes them to the coordinator once', async () => {
  const { open, send } = openForm();
  const { html, ...form } = await open();
  const names = [...html.matchAll(/<(?:input|select|textarea)[^>]*\sname="(\w+)"/g)].map(([, name]) => name);
  const asked = names.filter((name) => !['factId', 'stamp', 'website'].includes(name!));
  expect(asked).toHaveLength(8);
  nowAt += 40;
  const done = await send({ ...SAID, ...form });
  expect(done.status).toBe(201);
  expect(done.html).toContain('river@clean.example');
  await send({ ...SAID, ...form });
  expect(waiting()).toMatchObject([{ place: SAID.place, expectedBags: 12.5, untilDay: '2026-06-20' }]);
});

describe('is not taken', () => {
  test('within three seconds, with a stamp of somebody’s own, or one of yesterday; what was typed stays', async () => {
    const { open, send } = openForm();
    const { html: _, ...form } = await open();
    const quick = await send({ ...SAID, ...form });
    expect(quick.status).toBe(422);
    expect(quick.html).toContain('Mill meadow, by the weir');
    expect(quick.html).toContain('That was very quick');
    nowAt += 60;
    expect((await send({ ...SAID, ...form, stamp: `${nowAt - 60}.AAAA` })).status).toBe(422);
    nowAt += 86_400;
    expect((await send({ ...SAID, ...form })).html).toContain('open for a long time');
    expect(waiting()).toEqual([]);
  });

  test('from a machine that fills what nobody sees, though it is thanked', async () => {
    const { open, send } = openForm();
    const { html: _, ...form } = await open();
    nowAt += 60;
    expect((await send({ ...SAID, ...form, website: 'https://buy.example' })).status).toBe(201);
    expect(waiting()).toEqual([]);
  });

  test('a seventh time within an hour from one address; another address is not held up', async () => {
    const { open, send } = openForm();
    for (let i = 0; i < 7; i++) {
      const { html: _, ...form } = await open();
      nowAt += 10;
      expect((await send({ ...SAID, ...form })).status).toBe(i < 6 ? 201 : 429);
    }
    address = '192.0.2.2';
    const { html: _, ...form } = await open();
    nowAt += 10;
    expect((await send({ ...SAID, ...form })).status).toBe(201);
    expect(waiting()).toHaveLength(7);
    address = '192.0.2.1';
    nowAt += 3600;
    const { html: __, ...later } = await open();
    nowAt += 10;
    expect((await send({ ...SAID, ...later })).status).toBe(201);
  });

  test.each([
    ['an empty place', { place: ' ' }, 'Please fill this in'],
    ['a place of a thousand letters', { place: 'x'.repeat(1000) }, 'Keep it shorter'],
    ['a number in words', { sacks: 'many' }, 'Type a number, such as 40'],
    ['a day that is over', { untilDay: '2026-06-14' }, 'Choose a day that is still to come'],
    ['no kind', { eventKind: '' }, 'Choose what it was'],
  ])('with %s', async (_name, wrong, sentence) => {
    const { open, send } = openForm();
    const { html: _html, ...form } = await open();
    nowAt += 60;
    const answer = await send({ ...SAID, ...form, ...wrong });
    expect(answer.status).toBe(422);
    expect(answer.html).toContain(sentence);
    expect(waiting()).toEqual([]);
  });
});
