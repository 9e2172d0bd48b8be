/** The pages about what happens, on the demo town: by status and by what a person reads. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { inTransaction } from '../../src/store/db.ts';
import { getDriver, saveDriver } from '../../src/store/drivers.ts';
import { lastSeq } from '../../src/store/journal.ts';
import { publishedPlan } from '../../src/store/plans.ts';
import { saveWaiting } from '../../src/store/reactions.ts';
import { marksOfRound } from '../../src/store/round-marks.ts';
import { currentStockKg } from '../../src/store/stock.ts';
import { getVan, listVans } from '../../src/store/vans.ts';
import { getChoice } from '../../src/store/word-choices.ts';
import { getTemplate } from '../../src/store/word-templates.ts';
import { requireWorkshop, saveWorkshop } from '../../src/store/workshop.ts';
import { HAPPENING_KINDS } from '../../src/usecases/happened/kinds.ts';
import { planWeek } from '../../src/usecases/plan-week.ts';
import { publishPlan } from '../../src/usecases/publish-plan.ts';
import { choiceOf } from '../../src/usecases/word/queue-word.ts';
import { HAPPENING_WORDS } from '../../src/web/coordinator/happened-words.ts';
import { type Demo, ORIGIN, openDemo, planInPlace } from '../fixtures/demo-app.ts';

let demo: Demo;
let session: string;
beforeAll(async () => {
  demo = await openDemo();
  session = demo.signIn('coordinator');
  const { planId } = await planWeek(demo.context, planInPlace, { seed: 1, iterations: 5, actor: 'test' });
  publishPlan(demo.context, { planId, actor: 'test' });
});
afterAll(() => {
  expect(demo.faults).toEqual([]);
  demo.close();
});

const readable = (html: string): string =>
  html
    .replace(/<[^>]+>/g, ' ')
    .replaceAll('\u00a0', ' ')
    .replaceAll('\u2060', '')
    .replaceAll('&quot;', '"')
    .replaceAll('&amp;', '&')
    .replaceAll('&#39;', "'")
    .replace(/\s+/g, ' ');
const cookie = (role: string, token: string) => ({ cookie: `feedround-${role}=${token}` });
const get = async (path: string, headers: Record<string, string> = cookie('coordinator', session)) => {
  const answer = await demo.app.request(path, { headers });
  const html = await answer.text();
  return { status: answer.status, html, text: readable(html) };
};
const post = async (
  path: string,
  fields: Record<string, string>,
  headers: Record<string, string> = { ...cookie('coordinator', session), origin: ORIGIN },
) => {
  const answer = await demo.app.request(path, {
    method: 'POST',
    headers,
    body: new URLSearchParams(fields),
  });
  const html = await answer.text();
  return { status: answer.status, location: answer.headers.get('location'), html, text: readable(html) };
};

describe('the journal', () => {
  test('tells in words what happened, newest first, and goes back to the beginning', async () => {
    const { status, text } = await get('/journal');
    expect(status).toBe(200);
    expect(text).toContain('A plan was published.');
    expect(text.indexOf('A plan was published.')).toBeLessThan(text.indexOf('The table sites was imported'));
    expect((await get('/journal?before=2')).text).toMatch(/The workshop .* was imported/);
    expect((await get('/journal?before=nonsense')).status).toBe(200);
  });

  test('shows what waits, has it tried again or set aside, once', async () => {
    const row = {
      reaction: 'tell-somebody',
      seq: 2,
      subject: 'a',
      attempts: 12,
      nextAt: null,
      error: 'no line',
    };
    inTransaction(demo.context.store, (tx) => saveWaiting(tx, row));
    expect((await get('/journal')).text).toContain('tried 12 times, given up');
    const path = '/journal/waiting/tell-somebody/2';
    expect(await post(path, { what: 'again' })).toMatchObject({
      status: 303,
      location: '/journal?did=again',
    });
    expect(await post(path, { what: 'aside' })).toMatchObject({
      status: 303,
      location: '/journal?did=aside',
    });
    expect(await post(path, { what: 'aside' })).toMatchObject({ status: 404 });
    expect((await get('/journal')).text).not.toContain('What waits');
  });
});

describe('something happened', () => {
  test('every kind has a form with its words', async () => {
    const index = await get('/happened');
    for (const kind of HAPPENING_KINDS) {
      expect(index.html).toContain(`href="/happened/${kind}"`);
      const form = await get(`/happened/${kind}`);
      expect(form.status, kind).toBe(200);
      expect(form.text).toContain(HAPPENING_WORDS[kind].title);
    }
    expect((await get('/happened/earthquake')).status).toBe(404);
  });

  test('a van off the road is noted, told in the journal, and a second press changes nothing', async () => {
    const { store } = demo.context;
    const van = listVans(store)[0]!;
    const fields = { factId: 'form-1', van: van.id, reason: 'clutch <b>', from_at: '2026-06-15T12:00' };
    expect(await post('/happened/van-off-road', fields)).toMatchObject({
      status: 303,
      location: '/journal?did=told',
    });
    const seq = lastSeq(store);
    expect((await post('/happened/van-off-road', fields)).status).toBe(303);
    expect(lastSeq(store)).toBe(seq);
    expect(getVan(store, van.id)!.offRoadFromAt).toBe(Date.UTC(2026, 5, 15, 10) / 1000);
    const journal = await get('/journal');
    expect(journal.html).toContain('clutch &lt;b&gt;');
    expect(journal.text).toContain(`${van.name}: off the road from Mon 15 Jun, 12:00`);
  });

  test('a form with mistakes comes back as typed, with a sentence by each field, and nothing is kept', async () => {
    const seq = lastSeq(demo.context.store);
    const back = await post('/happened/film-delivered', {
      factId: 'form-2',
      grade: '',
      kg: 'lots',
      note: 'Åse',
    });
    expect(back.status).toBe(422);
    expect(back.text).toContain('"lots" cannot be taken; give a mass in kg');
    expect(back.text).toContain('Is missing; give a grade');
    expect(back.html).toContain('value="Åse"');
    expect(back.html).toContain('value="form-2"');
    expect(lastSeq(demo.context.store)).toBe(seq);
  });

  test('a refusal is a sentence on the form', async () => {
    const stock = currentStockKg(demo.context.store).get('ldpe-clear') ?? 0;
    const fields = { factId: 'form-3', grade: 'ldpe-clear', change_kg: String(-stock - 1), reason: 'spilt' };
    const back = await post('/happened/stock-corrected', fields);
    expect(back.status).toBe(422);
    expect(back.text).toContain('There would be less than nothing left of this grade.');
  });

  test('is the coordinator’s alone', async () => {
    expect((await get('/happened', {})).status).toBe(401);
    const driver = demo.signIn('driver', publishedPlan(demo.context.store)!.rounds[0]!.driverId);
    expect((await get('/journal', cookie('driver', driver))).status).toBe(403);
  });
});

describe('a driver', () => {
  test('says on the run sheet that the round has left, pauses, goes on, is done', async () => {
    const { store } = demo.context;
    const round = publishedPlan(store)!.rounds.find(({ day }) => day === '2026-06-15')!;
    const as = cookie('driver', demo.signIn('driver', round.driverId));
    const press = (factId: string, mark: string) =>
      post(`/driver/rounds/${round.id}/marks`, { factId, mark }, { ...as, origin: ORIGIN });
    expect((await get('/driver', as)).text).toContain('I am leaving now');
    expect(await press('m-1', 'started')).toMatchObject({ status: 303, location: '/driver' });
    expect(await press('m-1', 'started')).toMatchObject({ status: 303, location: '/driver' });
    const sheet = await get('/driver', as);
    expect(sheet.text).toContain('Left at');
    expect(sheet.text).toContain('Finish the round');
    expect(await press('m-2', 'started')).toMatchObject({ status: 303, location: '/driver?did=stale' });
    expect((await get('/driver?did=stale', as)).text).toContain('This is how it stands');
    expect(await press('m-3', 'finished')).toMatchObject({ status: 303, location: '/driver' });
    expect(marksOfRound(store, round.id).map(({ mark }) => mark)).toEqual(['started', 'finished']);
    expect((await press('m-4', 'flown')).status).toBe(400);
    expect(
      (
        await post(
          '/driver/rounds/nowhere/marks',
          { factId: 'm-5', mark: 'started' },
          { ...as, origin: ORIGIN },
        )
      ).status,
    ).toBe(404);
  });
});

describe('word to people', () => {
  test('a text is changed, looked at, refused where it names what is not there, and put back', async () => {
    const { store } = demo.context;
    const path = '/word/texts/visit-moved';
    expect((await get(path)).text).toContain('How it would look');
    const text = { subject: 'Moved: {site}', body: 'Not {day}. {next}' };
    const looked = await post(path, { what: 'look', ...text });
    expect(looked.status).toBe(200);
    expect(looked.text).toMatch(/Moved: (?!\{)/);
    expect(getTemplate(store, 'visit-moved')).toBeUndefined();
    const wrong = await post(path, { what: 'keep', subject: 'A', body: 'Dear {nmae}, {' });
    expect(wrong.status).toBe(422);
    expect(wrong.text).toContain(
      '{nmae} is not known here; there are {site}, {workshop}, {phone}, {day}, {next}',
    );
    expect(wrong.html).toContain('Dear {nmae}');
    expect((await post(path, { what: 'keep', subject: '', body: 'x' })).text).toContain('Write a subject');
    expect(await post(path, { what: 'keep', ...text })).toMatchObject({ status: 303 });
    expect(getTemplate(store, 'visit-moved')).toMatchObject(text);
    expect((await get('/word')).text).toContain('Your own text.');
    expect(await post(path, { what: 'original' })).toMatchObject({ status: 303 });
    expect(getTemplate(store, 'visit-moved')).toBeUndefined();
    expect((await get('/word/texts/nonsense')).status).toBe(404);
  });

  test('whoever has the mail chooses, without signing in; a mail program ends it with one press (RFC 8058)', async () => {
    const { store } = demo.context;
    const { token } = inTransaction(store, (tx) => choiceOf(tx, 'ada@shop.example', 1, demo.context.newId));
    const path = `/your-mail/${token}`;
    const page = await get(path, {});
    expect(page).toMatchObject({ status: 200, text: expect.stringContaining('ada@shop.example') });
    const own = { origin: ORIGIN };
    expect(await post(path, { choice: 'digest', remind: 'yes' }, own)).toMatchObject({ status: 303 });
    expect(getChoice(store, 'ada@shop.example')).toMatchObject({ choice: 'digest', remindDayBefore: true });
    expect((await post(path, { choice: 'sometimes' }, own)).status).toBe(400);
    // As a mail program sends it: no cookie, no origin, no page before.
    expect(await post(path, { 'List-Unsubscribe': 'One-Click' }, {})).toMatchObject({
      status: 200,
      location: null,
    });
    expect(getChoice(store, 'ada@shop.example')!.choice).toBe('none');
    expect((await get('/your-mail/nobodys-token', {})).status).toBe(404);
    expect((await post('/your-mail/nobodys-token', { choice: 'none' }, {})).status).toBe(404);
  });

  test('a driver and the coordinator choose what they are written, each their own', async () => {
    const { store } = demo.context;
    const { driverId } = publishedPlan(store)!.rounds[0]!;
    const driver = { ...cookie('driver', demo.signIn('driver', driverId)), origin: ORIGIN };
    inTransaction(store, (tx) => {
      saveDriver(tx, { ...getDriver(tx, driverId)!, email: 'Ida@Press.example' });
      const workshop = requireWorkshop(tx);
      const word = { ...workshop.settings.word, email: 'press@press.example' };
      saveWorkshop(tx, { ...workshop, settings: { ...workshop.settings, word } });
    });
    for (const [path, headers, address, about] of [
      ['/driver/mail', driver, 'ida@press.example', 'when your rounds change'],
      [
        '/word/mail',
        { ...cookie('coordinator', session), origin: ORIGIN },
        'press@press.example',
        'the plan in danger',
      ],
    ] as const) {
      const opened = await post(path, {}, headers);
      expect(opened).toMatchObject({
        status: 303,
        location: `/your-mail/${getChoice(store, address)!.token}`,
      });
      const page = await get(opened.location!, {});
      expect(page.text).toContain(`To ${address}, when`);
      expect(page.text).toContain(about);
      // Reminders are of visits to donors.
      expect(page.text).not.toContain('Remind me');
      expect((await post(opened.location!, { choice: 'none' }, { origin: ORIGIN })).status).toBe(303);
      expect(getChoice(store, address)!.choice).toBe('none');
    }
    expect(
      (await post('/driver/mail', {}, { ...cookie('coordinator', session), origin: ORIGIN })).status,
    ).toBe(403);
    inTransaction(store, (tx) => saveDriver(tx, { ...getDriver(tx, driverId)!, email: '' }));
    const none = await post('/driver/mail', {}, driver);
    expect(none).toMatchObject({ status: 404, text: expect.stringContaining('no e-mail address of yours') });
  });
});
