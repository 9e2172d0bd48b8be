/** The page of settings over a real database: what a person types comes back in its own unit, and nothing is lost. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { requireWorkshop } from '../../../src/store/workshop.ts';
import { changeObjective } from '../../../src/usecases/change-objective.ts';
import { plainSpaces } from '../../../src/web/shared/format.ts';
import { measureOf, settingAmount, storedOf, typedOf } from '../../../src/web/shared/objective-amounts.ts';
import { type Demo, ORIGIN, openDemo } from '../../fixtures/demo-app.ts';

let demo: Demo;
let token: string;
beforeAll(async () => {
  demo = await openDemo();
  token = demo.signIn('coordinator');
});
afterAll(() => demo.close());

const read = async () => {
  const html = await (
    await demo.app.request('/settings', { headers: { authorization: `Bearer ${token}` } })
  ).text();
  return fieldsOf(html);
};
const plainText = (text: string) => text.replaceAll('&quot;', '"').replaceAll('&amp;', '&');
const fieldsOf = (html: string): Record<string, string> =>
  Object.fromEntries(
    [...html.matchAll(/<input([^>]*)>/g)].flatMap(([, rest = '']) => {
      const of = (name: string) => new RegExp(`${name}="([^"]*)"`).exec(rest)?.[1];
      const name = of('name');
      return name === undefined || name === 'role' ? [] : [[plainText(name), plainText(of('value') ?? '')]];
    }),
  );
const send = (fields: Record<string, string>) =>
  demo.app.request('/settings', {
    method: 'POST',
    headers: { authorization: `Bearer ${token}`, origin: ORIGIN },
    body: new URLSearchParams(fields),
  });
const settings = () => requireWorkshop(demo.context.store).settings;

test('what is typed is kept in its own unit: minutes, per cent, currency, a decimal comma', async () => {
  const fields = await read();
  expect(fields).toMatchObject({
    'prices.unloadS': '20',
    loadQuantile: '50',
    'prices.contaminationShare': '3.7',
  });
  const answer = await send({
    ...fields,
    'prices.unloadS': '17.5',
    loadQuantile: '75',
    'prices.overflowMicros': '12,50',
    'prices.contaminationShare': '4',
  });
  expect(answer.status).toBe(303);
  expect(answer.headers.get('location')).toBe('/settings?did=saved');
  expect(settings().prices).toMatchObject({
    unloadS: 1050,
    overflowMicros: 12_500_000,
    contaminationShare: 0.04,
  });
  expect(settings().loadQuantile).toBe(0.75);
  const again = await send(await read());
  expect(again.headers.get('location')).toBe('/settings?did=nothing');
});

test('a field that cannot be read, or is out of bounds, comes back as typed with a sentence; nothing is kept', async () => {
  const before = settings();
  const fields = { ...(await read()), 'prices.unloadS': 'soon', horizonDays: '9' };
  const unread = await send(fields);
  expect(unread.status).toBe(422);
  const html = await unread.text();
  expect(html).toContain('Write a number, such as 17.5.');
  expect(fieldsOf(html)).toMatchObject({ 'prices.unloadS': 'soon', horizonDays: '9' });

  const outside = await send({ ...fields, 'prices.unloadS': '10', horizonDays: '99', loadQuantile: '10' });
  expect(outside.status).toBe(422);
  const text = plainSpaces(await outside.text());
  expect(text).toContain('At most 28 days.');
  expect(text).toContain('At least 20 %.');
  expect(settings()).toEqual(before);
});

test('a default is filled in without being kept, and what else was typed stays', async () => {
  const before = settings();
  const fields = { ...(await read()), horizonDays: '11' };
  const one = fieldsOf(await (await send({ ...fields, reset: 'prices.unloadS' })).text());
  expect(one).toMatchObject({ 'prices.unloadS': '20', horizonDays: '11', loadQuantile: '75' });
  const all = fieldsOf(await (await send({ ...fields, reset: 'all' })).text());
  expect(all).toMatchObject({ 'prices.unloadS': '20', horizonDays: '7', loadQuantile: '50' });
  expect(settings()).toEqual(before);
});

test('two people at once: the second is told, and keeps what was typed', async () => {
  const fields = { ...(await read()), horizonDays: '8' };
  changeObjective(demo.context, { values: { horizonDays: 10 }, actor: 'other' });
  const answer = await send(fields);
  expect(answer.status).toBe(409);
  const html = await answer.text();
  expect(html).toContain('Somebody else saved in the meantime');
  expect(fieldsOf(html)['horizonDays']).toBe('8');
  expect(settings().horizonDays).toBe(10);
  expect((await send(fieldsOf(html))).status).toBe(303);
  expect(settings().horizonDays).toBe(8);
});

describe('the interface', () => {
  const call = (path: string, body?: unknown) =>
    demo.app.request(path, {
      method: body === undefined ? 'GET' : 'POST',
      headers: { authorization: `Bearer ${token}`, origin: ORIGIN, 'content-type': 'application/json' },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });

  test('says every value with its unit, its default and where that comes from', async () => {
    const { values } = (await (await call('/api/objective')).json()) as { values: Record<string, unknown>[] };
    expect(values.find(({ key }) => key === 'prices.overtimeMicrosPerHour')).toMatchObject({
      value: 30_000_000,
      default_value: 30_000_000,
      shown_in: 'EUR per hour',
    });
    expect(values.filter(({ key }) => String(key).startsWith('vans/'))).toHaveLength(2);
  });

  test('changes values; wrong ones are pointed at, an old version is a conflict', async () => {
    const { version } = (await (await call('/api/objective')).json()) as { version: string };
    const done = await call('/api/objective/changes', {
      version,
      values: { 'prices.unloadMicros': 3_000_000 },
    });
    expect(done.status).toBe(200);
    expect(await done.json()).toMatchObject({
      changed: [{ key: 'prices.unloadMicros', from: 2_000_000, to: 3_000_000 }],
    });
    expect((await call('/api/objective/changes', { version, values: {} })).status).toBe(409);
    const wrong = await call('/api/objective/changes', { values: { 'calls.reliability': 2 } });
    expect(wrong.status).toBe(422);
    expect(await wrong.json()).toMatchObject({
      type: '/problems/invalid-body',
      errors: [{ detail: 'At most 100\u00a0%.', pointer: '#/values/calls.reliability' }],
    });
  });
});

test('amounts go there and back in every unit', () => {
  for (const [key, value] of [
    ['vans/x', 345_678],
    ['prices.unloadS', 1230],
    ['prices.contaminationShare', 0.037],
    ['prices.endCoverDays', 4.5],
    ['searchIterations', 4000],
  ] as const)
    expect(storedOf(measureOf(key), Number(typedOf(measureOf(key), value)))).toBe(value);
  expect(plainSpaces(settingAmount('vans/x', 450_000, 'EUR'))).toBe('EUR 0.45 per km');
  expect(faultsOf(demo)).toEqual([]);
});
const faultsOf = ({ faults }: Demo) => faults;
