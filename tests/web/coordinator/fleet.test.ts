/** The pages of vans, drivers and shifts over a real database: what is typed is kept, or comes back with a sentence. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { getDriver } from '../../../src/store/drivers.ts';
import { listShiftsBetween } from '../../../src/store/shifts.ts';
import { listVans } from '../../../src/store/vans.ts';
import { plainSpaces } from '../../../src/web/shared/format.ts';
import { type Demo, ORIGIN, openDemo } from '../../fixtures/demo-app.ts';

let demo: Demo;
let token: string;
beforeAll(async () => {
  demo = await openDemo();
  token = demo.signIn('coordinator');
});
afterAll(() => demo.close());

const read = async (path: string) => {
  const answer = await demo.app.request(path, { headers: { authorization: `Bearer ${token}` } });
  const html = await answer.text();
  const text = plainSpaces(html.replaceAll(/<[^>]+>/g, ' ').replaceAll(/\s+/g, ' '));
  return { status: answer.status, html, text };
};
const send = (path: string, fields: Record<string, string>) =>
  demo.app.request(path, {
    method: 'POST',
    headers: { authorization: `Bearer ${token}`, origin: ORIGIN },
    body: new URLSearchParams(fields),
  });
const van = () => listVans(demo.context.store)[0]!;
const later = '2027-03-01';
const someShift = () => {
  const [shift] = listShiftsBetween(demo.context.store, '2000-01-01', '2099-12-31').slice(-1);
  return shift!;
};

test('two weeks are shown, with every shift of theirs and the hours they come to', async () => {
  const { day } = someShift();
  const { text, status } = await read(`/fleet?from=${day}`);
  expect(status).toBe(200);
  expect(text).toContain('Week from');
  expect(text).toMatch(/\d\d:\d\d–\d\d:\d\d/);
  expect(text).toMatch(/\d+ h \d\d min/);
});

test('a check that is due is said on top, once it is within 30 days', async () => {
  expect((await read('/fleet')).text).not.toContain('safety check is due on');
  const { id, name, payloadKg, loadSpaceL } = van();
  const today = new Date(demo.context.now() * 1000).toISOString().slice(0, 10);
  const answer = await send(`/fleet/vans/${id}`, {
    name,
    payload_kg: `${payloadKg}`,
    load_space_l: '6 400,5',
    cost_per_km: '0,42',
    check_due: today,
  });
  expect(answer.status).toBe(303);
  expect(van()).toMatchObject({
    payloadKg,
    loadSpaceL: 6400.5,
    costMicrosPerKm: 420_000,
    checkDueDay: today,
  });
  expect(loadSpaceL).not.toBe(6400.5);
  expect((await read('/fleet')).text).toContain('the safety check is due on');
});

test('a van that cannot be is refused beside its fields, with all that was typed', async () => {
  const answer = await send('/fleet/vans/new', {
    name: 'Lark',
    payload_kg: 'much',
    load_space_l: '5000',
    cost_per_km: '-1',
  });
  expect(answer.status).toBe(422);
  const html = await answer.text();
  expect(html).toContain('value="much"');
  expect(html).toContain('A number from 1 to 30,000 kg');
  expect(html).toContain('An amount from 0 to 100');
  expect(listVans(demo.context.store).some(({ name }) => name === 'Lark')).toBe(false);
});

test('shifts on ticked weekdays are arranged, and shown in their week', async () => {
  const { driverId } = someShift();
  const fields = { factId: 'form-1', van: van().id, driver: driverId, starts: '07:30', ends: '12:00' };
  const answer = await send('/fleet/shifts', {
    ...fields,
    from: later,
    until: '2027-03-14',
    mon: 'yes',
    thu: 'yes',
  });
  expect(answer.headers.get('location')).toBe(`/fleet?from=${later}&did=arranged`);
  const made = listShiftsBetween(demo.context.store, later, '2027-03-14');
  expect(made.map(({ day }) => day)).toEqual(['2027-03-01', '2027-03-04', '2027-03-08', '2027-03-11']);
  expect(made[0]).toMatchObject({ startsMinute: 450, endsMinute: 720, driverId });
  const again = await send('/fleet/shifts', { ...fields, factId: 'form-2', from: '2027-03-04' });
  expect(again.status).toBe(422);
  expect(plainSpaces(await again.text())).toContain(
    'On Thu 4 Mar the driver has another shift, 07:30–12:00.',
  );
});

test.each([
  [{ until: '2027-02-01' }, 'The last day lies before the first.'],
  [{ until: '2029-01-01' }, 'At most 186 days at once'],
  [{ until: '2027-05-04', sun: 'yes' }, 'None of the ticked weekdays'],
  [{ starts: '25:00' }, 'A time, such as 07:30.'],
  [{ ends: '06:00' }, 'The shift ends before it begins'],
  [{ van: '' }, 'Choose a van.'],
])('%j comes back with: %s', async (over, sentence) => {
  const answer = await send('/fleet/shifts', {
    factId: 'form-3',
    van: van().id,
    driver: someShift().driverId,
    starts: '07:30',
    ends: '12:00',
    from: '2027-05-03',
    ...over,
  });
  expect(answer.status).toBe(422);
  expect(await answer.text()).toContain(sentence);
});

test('a shift is called off with a reason, and taken up again', async () => {
  const { id } = listShiftsBetween(demo.context.store, later, later)[0]!;
  expect((await send(`/fleet/shifts/${id}/away`, { reason: 'ill' })).status).toBe(303);
  expect((await read(`/fleet/shifts/${id}`)).text).toContain('Called off: the driver is away.');
  expect((await read(`/fleet?from=${later}`)).text).toContain(', away');
  expect((await send(`/fleet/shifts/${id}/back`, {})).status).toBe(303);
  expect((await read(`/fleet/shifts/${id}`)).text).not.toContain('Called off');
});

test('a driver’s address is kept, and not written into the journal', async () => {
  const { driverId } = someShift();
  const { name } = getDriver(demo.context.store, driverId)!;
  const answer = await send(`/fleet/drivers/${driverId}`, {
    name,
    email: 'ada@workshop.example',
    cost_per_hour: '18.5',
  });
  expect(answer.status).toBe(303);
  expect(getDriver(demo.context.store, driverId)).toMatchObject({
    email: 'ada@workshop.example',
    costMicrosPerHour: 18_500_000,
  });
  const entries = demo.context.store.$client
    .prepare("SELECT facts FROM journal WHERE kind = 'driver-kept'")
    .pluck()
    .all();
  expect(entries).toHaveLength(1);
  expect(JSON.stringify(entries)).not.toContain('workshop.example');
});

test.each(['/fleet/shifts/none', '/fleet/vans/none', '/fleet/drivers/none'])(
  '%s is not found',
  async (path) => {
    expect((await read(path)).status).toBe(404);
  },
);
