/** A phone without room, a phone that threw its store away, a phone that the workshop does not know any more. */
import { afterEach, beforeEach, expect, test } from 'vitest';
import { listWeighInsOfStops } from '../../../src/store/weigh-ins.ts';
import type { Said } from '../../../src/web/client/driver/fact.ts';
import { type LongRound, openLongRound } from '../../fixtures/long-round.ts';
import { openPhone, type Phone } from '../../fixtures/phone.ts';

let server: LongRound;
let phone: Phone;
beforeEach(() => {
  server = openLongRound(3);
  phone = openPhone(server, () => 0.5, server.context.now);
});
afterEach(() => {
  expect(server.faults).toEqual([]);
  server.close();
});
const open = async () => {
  const { model } = phone.openTab();
  await model.open();
  await model.refresh();
  return model;
};
/** What was begun in the background is over. */
const settle = async () => {
  for (let i = 0; i < 100; i++) await new Promise((next) => setImmediate(next));
};
const weighIn = (n: number): Said => ({
  kind: 'weigh-in',
  roundId: server.round.id,
  stopId: server.siteStops[n]!.id,
  siteId: server.siteStops[n]!.siteId!,
  amounts: { netKg: 10 + n, foundFull: false, rejectedKg: 0, grades: [], note: '' },
});
const storedKg = () =>
  listWeighInsOfStops(
    server.context.store,
    server.siteStops.map(({ id }) => id),
  ).map(({ netKg }) => netKg);

test('where there is no room, what the server has makes way; what waits does not', async () => {
  const model = await open();
  await model.say(weighIn(0));
  await settle();
  phone.network.isOn = false;
  await model.say(weighIn(1));
  expect(model.counts()).toMatchObject({ waiting: 1, handedIn: 1 });
  // Room for two facts and no more.
  phone.kept.room = 2;
  expect(await model.say(weighIn(2))).toBeDefined();
  expect(model.counts()).toMatchObject({ waiting: 2, handedIn: 0 });
  expect(model.get().troubles).toEqual([]);
});

test('where there is none at all, it is said that the entry was not kept, until one is', async () => {
  const model = await open();
  phone.network.isOn = false;
  phone.kept.room = 0;
  expect(await model.say(weighIn(0))).toBeUndefined();
  expect(model.get().troubles).toEqual([{ kind: 'full' }]);
  expect(model.counts().waiting).toBe(0);
  phone.kept.room = 9;
  expect(await model.say(weighIn(0))).toBeDefined();
  expect(model.get().troubles).toEqual([]);
});

test('a store that was thrown away while entries waited is noticed when the sheet is opened again', async () => {
  const model = await open();
  phone.network.isOn = false;
  await model.say(weighIn(0));
  await model.say(weighIn(1));
  for (const tab of [...phone.tabs]) phone.kill(tab);
  phone.kept.facts.clear();
  phone.kept.named.clear();
  const again = phone.openTab().model;
  await again.open();
  expect(again.get().troubles).toEqual([{ kind: 'lost', waited: 2 }]);
});

test('a phone that is not known any more loses the sheet and keeps what was entered, until it is let in again', async () => {
  const model = await open();
  phone.network.isOn = false;
  await model.say(weighIn(0));
  await settle();
  phone.network.isOn = true;
  phone.cookie = 'feedround-driver=withdrawn-withdrawn-withdrawn';
  await model.handIn();
  expect(model.get()).toMatchObject({ signal: 'signed-out' });
  expect(model.get().kept).toBeUndefined();
  expect(phone.kept.named.has('run')).toBe(false);
  expect(storedKg()).toEqual([]);
  phone.cookie = `feedround-driver=${server.signIn()}`;
  const again = await open();
  await again.handIn();
  expect(storedKg()).toEqual([10]);
});
