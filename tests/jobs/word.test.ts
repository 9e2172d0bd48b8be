/**
 * Word from the happening to the mail, over a real SMTP server: who is told what, once, when they want it. What is
 * received is read by RFC 5322 and 2045 in `fixtures/mail-sink.ts`.
 */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { dayStart, instantOf } from '../../src/core/calendar/zone.ts';
import { keepReacting, type Reactor } from '../../src/jobs/keep-reacting.ts';
import { keepSending, type Sender } from '../../src/jobs/keep-sending.ts';
import { folderTransport, type MailTransport, smtpTransport } from '../../src/jobs/mail-transport.ts';
import { REACTIONS } from '../../src/reactions/all.ts';
import { closeStore, inTransaction } from '../../src/store/db.ts';
import { lastSeq, readEntriesAfter } from '../../src/store/journal.ts';
import { listDoneWords, listUnsent } from '../../src/store/outbox.ts';
import { savePlan } from '../../src/store/plans.ts';
import { getSite, saveSite } from '../../src/store/sites.ts';
import { getChoice } from '../../src/store/word-choices.ts';
import { requireWorkshop, saveWorkshop } from '../../src/store/workshop.ts';
import { cancelBooking } from '../../src/usecases/cancel-extra-collection.ts';
import { tell as happen } from '../../src/usecases/happened/tell.ts';
import { publishPlan } from '../../src/usecases/publish-plan.ts';
import { requestExtraCollection } from '../../src/usecases/request-extra-collection.ts';
import { changeTemplate } from '../../src/usecases/word/change-template.ts';
import { chooseWord } from '../../src/usecases/word/choose-word.ts';
import { noteSent, takeMail, tryMailAgain } from '../../src/usecases/word/send-mail.ts';
import { renderMail } from '../../src/word/render.ts';
import { mailSink, readMessage } from '../fixtures/mail-sink.ts';
import { aPlanOnItsDays, DAY_START_AT, publishedStore } from '../fixtures/published-store.ts';

let world: ReturnType<typeof publishedStore>;
let sink: Awaited<ReturnType<typeof mailSink>>;
let reactor: Reactor;
let sender: Sender;
let nowAt: number;
const faults: unknown[] = [];
const ORIGIN = 'https://film.example';

const startSending = (transport: MailTransport = smtpTransport(sink.url)) =>
  keepSending({
    context: world.context,
    render: (mail) => renderMail({ db: world.store, origin: ORIGIN, from: undefined }, mail),
    transport,
    onFault: (error) => faults.push(error),
    lookEveryMs: 1e9,
  });

beforeEach(async () => {
  world = publishedStore();
  sink = await mailSink();
  faults.length = 0;
  at('10:00');
  inTransaction(world.store, (tx) => {
    const workshop = requireWorkshop(tx);
    const word = { ...workshop.settings.word, email: 'office@press.example' };
    saveWorkshop(tx, { ...workshop, settings: { ...workshop.settings, phone: '+43 1 234', word } });
    const contact = (name: string, email: string) => ({ name, phone: '', email });
    saveSite(tx, { ...getSite(tx, 's1')!, contacts: [contact('Ada', 'Ada@Shop.example')] });
    saveSite(tx, { ...getSite(tx, 's2')!, contacts: [contact('Bo', 'bo@school.example')] });
  });
  reactor = keepReacting({
    context: { ...world.context, seed: 1, planner: () => Promise.reject(new Error('none')) },
    reactions: REACTIONS,
    onFault: (error) => faults.push(error),
    lookEveryMs: 1e9,
  });
  sender = startSending();
});
afterEach(async () => {
  await reactor.stop();
  await sender.stop();
  await sink.close();
  closeStore(world.store);
});

function at(clock: string, day = '2026-06-15'): void {
  const [hours = 0, minutes = 0] = clock.split(':').map(Number);
  nowAt = instantOf('Europe/Vienna', day, hours * 60 + minutes);
  world.setNow(nowAt);
}
/** Reactions have run, and every mail that is due by then has been tried. */
async function settle(clock?: string, day?: string): Promise<void> {
  await reactor.settled();
  if (clock !== undefined) at(clock, day);
  // Stands for the look that the clock would bring.
  await sender.settled();
  await sender.stop();
  sender = startSending();
  await sender.settled();
}
const book = (factId = 'book-1') =>
  requestExtraCollection(world.context, {
    factId,
    siteId: 's1',
    eventKind: 'festival',
    eventEndsAt: nowAt + 86_400,
    expectedBags: 10,
    fromAt: instantOf('Europe/Vienna', '2026-06-17', 480),
    untilAt: instantOf('Europe/Vienna', '2026-06-17', 960),
    remarks: '',
    hazards: '',
    requestedBy: 'donor:d1',
  });
const sent = () => sink.received.map(({ to, headers }) => `${to.join()}: ${headers['subject']}`).sort();
const wordsNow = () => listUnsent(world.store).map((word) => `${word.recipient} ${word.template}`);

test('a request reaches the site’s contact and the workshop, each once, with what RFC 5322, 2369, 8058 and 3834 ask', async () => {
  book();
  await settle('10:11');
  expect(faults).toEqual([]);
  expect(sent()).toEqual([
    'ada@shop.example: Your extra collection: we have your request',
    expect.stringMatching(/^office@press.example: .*Site s1.*extra collection/),
  ]);
  const [mail] = sink.received.filter(({ to }) => to[0] === 'ada@shop.example');
  const { token } = getChoice(world.store, 'ada@shop.example')!;
  expect(mail!.headers).toMatchObject({
    from: 'The Press <office@press.example>',
    'reply-to': 'office@press.example',
    'auto-submitted': 'auto-generated',
    'list-unsubscribe': `<${ORIGIN}/your-mail/${token}>`,
    'list-unsubscribe-post': 'List-Unsubscribe=One-Click',
    'message-id': expect.stringMatching(/^<[\w-]+@press\.example>$/),
    date: 'Mon, 15 Jun 2026 08:11:00 +0000',
  });
  expect(mail!.text).toContain('at Site s1, Wednesday 17 June, 08:00 to 16:00.');
  expect(mail!.text).toContain('The Press, +43 1 234');
  // The workshop's address has a choice of its own.
  const own = getChoice(world.store, 'office@press.example')!.token;
  expect(own).not.toBe(token);
  expect(sink.received.find(({ to }) => to[0] === 'office@press.example')!.headers).toMatchObject({
    'list-unsubscribe': `<${ORIGIN}/your-mail/${own}>`,
  });
  await settle('12:00');
  expect(sink.received).toHaveLength(2);
});

test('five things within a while are one mail, and nothing goes before the while is over', async () => {
  for (let i = 0; i < 5; i++) book(`book-${i}`);
  await settle('10:09');
  expect(sink.received).toHaveLength(0);
  await settle('10:10');
  const mine = sink.received.filter(({ to }) => to[0] === 'ada@shop.example');
  expect(mine).toHaveLength(1);
  expect(mine[0]!.headers['subject']).toBe('5 things from The Press');
  expect(mine[0]!.text.match(/We have your request/g)).toHaveLength(5);
});

describe('what an address chose', () => {
  const choose = (choice: 'each' | 'digest' | 'none', remindDayBefore = false) => {
    const { token } = getChoice(world.store, 'ada@shop.example')!;
    return chooseWord(world.context, { token, choice, remindDayBefore });
  };

  test('none: nothing comes, what waits is dropped, and the outbox says why', async () => {
    book();
    await reactor.settled();
    expect(choose('none')).toMatchObject({ ok: true });
    book('book-2');
    await settle('10:30');
    expect(sent().filter((line) => line.startsWith('ada'))).toEqual([]);
    const done = listDoneWords(world.store).filter((word) => word.recipient === 'ada@shop.example');
    expect(done.map((word) => word.unsaid)).toEqual(['not-wanted', 'not-wanted']);
  });

  test('digest: one mail at the hour of the day', async () => {
    book();
    await settle('10:10');
    sink.received.length = 0;
    choose('digest');
    book('book-2');
    at('11:00');
    book('book-3');
    await settle('15:59');
    expect(sent().filter((line) => line.startsWith('ada'))).toEqual([]);
    await settle('16:00');
    expect(sent().filter((line) => line.startsWith('ada'))).toEqual([
      'ada@shop.example: 2 things from The Press',
    ]);
  });

  test('a reminder the day before, for who wants it, once', async () => {
    book();
    await settle('10:10');
    choose('each', true);
    // s1 is planned for the 16th; s2's address wants no reminders.
    await settle('16:00');
    await settle('16:11');
    expect(sent().filter((line) => /tomorrow/.test(line))).toEqual(['ada@shop.example: We come tomorrow']);
    expect(sink.received.at(-1)!.text).toContain(
      'Tomorrow, Tuesday 16 June, we come to Site s1, about 06:34.',
    );
    await settle('18:00');
    expect(sent().filter((line) => /tomorrow/.test(line))).toHaveLength(1);
  });

  test('no reminder of a visit that has been moved before it went out', async () => {
    book();
    await settle('10:10');
    choose('each', true);
    await settle('16:00');
    expect(wordsNow()).toEqual(['ada@shop.example visit-tomorrow']);
    publishNext('16:05');
    await settle('16:20');
    expect(sent().filter((line) => line.startsWith('ada'))).toEqual([
      'ada@shop.example: Our visit moves',
      'ada@shop.example: Your extra collection: we have your request',
    ]);
    expect(listDoneWords(world.store).find((word) => word.template === 'visit-tomorrow')!.unsaid).toBe(
      'out-of-date',
    );
    expect(sink.received.at(-1)!.headers['subject']).toBe('Our visit moves');
  });

  test('by a token that nobody has is refused', () => {
    expect(chooseWord(world.context, { token: 'x', choice: 'none', remindDayBefore: false })).toMatchObject({
      refusal: { kind: 'no-such-choice' },
    });
  });
});

describe('quiet hours', () => {
  test('hold a word until morning, on the workshop’s clock, also in the night when that jumps', async () => {
    // tz database, Europe/Vienna: 25 October 2026, 03:00 CEST becomes 02:00 CET; 07:00 is 06:00 UTC.
    at('21:00', '2026-10-24');
    happen(world.context, 'container-reported-full', { site: 's1' }, { factId: 'full-1', actor: 'donor:d1' });
    await settle('06:59', '2026-10-25');
    expect(sink.received).toHaveLength(0);
    await settle('07:00', '2026-10-25');
    expect(sent()).toEqual([expect.stringMatching(/^office@press.example: .*reported full/)]);
    expect(sink.received[0]!.headers['date']).toBe('Sun, 25 Oct 2026 06:00:00 +0000');
  });

  test('hold back a mail that a server that was down would send at night', async () => {
    book();
    await reactor.settled();
    await settle('23:00');
    expect(sink.received).toHaveLength(0);
    await settle('07:00', '2026-06-16');
    expect(sink.received).toHaveLength(2);
  });

  test('do not hold back a driver’s new rounds', async () => {
    inTransaction(world.store, (tx) =>
      tx.run("UPDATE drivers SET email = 'ida@press.example' WHERE id = 'p1'" as never),
    );
    publishNext('21:00', true);
    await settle('21:10');
    expect(sent()).toEqual(['ida@press.example: Your rounds have changed']);
    expect(sink.received[0]!.text).toContain('Wednesday 17 June, 06:30 to 07:16: 1 stop, 4.5 km');
    // What was driven today is no news.
    expect(sink.received[0]!.text).not.toContain('Monday');
  });
});

/** The same plan without the second day's round, whose one site now is called on a day later, or never. */
function publishNext(clock: string, isCalledOnLater = false): void {
  at(clock);
  const plan = aPlanOnItsDays();
  const [first, second] = plan.rounds;
  const later = (value: number) => value + 86_400;
  const moved = {
    ...second!,
    day: '2026-06-17',
    startAt: later(second!.startAt),
    endAt: later(second!.endAt),
    stops: second!.stops.map((stop) => ({
      ...stop,
      arriveAt: later(stop.arriveAt),
      startAt: later(stop.startAt),
      departAt: later(stop.departAt),
    })),
  };
  const id = `next-${clock}`;
  inTransaction(world.store, (tx) =>
    savePlan(
      tx,
      {
        id,
        plan: {
          ...plan,
          days: ['2026-06-15', '2026-06-16', '2026-06-17'],
          rounds: isCalledOnLater ? [first!, moved] : [first!],
        },
        inputHash: 'x',
        createdAt: nowAt,
      },
      world.context.newId,
    ),
  );
  expect(publishPlan(world.context, { planId: id, actor: 'test' }).ok).toBe(true);
}

describe('a published plan', () => {
  test('tells the donor whose day has changed, and nobody else', async () => {
    publishNext('12:00', true);
    await settle('12:10');
    expect(sent()).toEqual(['ada@shop.example: Our visit moves']);
    expect(sink.received[0]!.text).toContain(
      'We planned to come to Site s1 on Tuesday 16 June. Now we come on Wednesday 17 June, about 06:34.',
    );
  });

  test('changed twice before anybody was told, is told once', async () => {
    publishNext('12:00');
    publishNext('12:05', true);
    publishNext('12:06');
    await settle('12:20');
    // Away on the 16th, planned on the 17th, away from there: two moves, of which the last says it all.
    expect(sent().filter((line) => line.startsWith('ada'))).toEqual(['ada@shop.example: Our visit moves']);
    expect(sink.received[0]!.text).toContain('The new day is not fixed yet');
  });
});

describe('a mail server', () => {
  test('that refuses is asked again later, and what it then takes is one mail', async () => {
    sink.setGate(() => {
      throw Object.assign(new Error('4.3.2 not now'), { responseCode: 451 });
    });
    book();
    await settle('10:10');
    expect(sink.received).toHaveLength(0);
    expect(faults.length).toBeGreaterThan(0);
    expect(listUnsent(world.store)[0]).toMatchObject({
      attempts: 1,
      error: expect.stringContaining('not now'),
    });
    sink.setGate(() => undefined);
    await settle('10:12');
    expect(sent()).toHaveLength(2);
    await settle('12:00');
    expect(sent()).toHaveLength(2);
  });

  test('that never takes it: given up, said in the journal, and tried again when a person says so', async () => {
    sink.setGate(() => {
      throw new Error('550 no such mailbox');
    });
    book();
    const seq = lastSeq(world.store);
    await settle('10:10');
    for (let hours = 0; hours < 200 && !listUnsent(world.store).every((word) => word.parkedAt); hours++) {
      nowAt += 4 * 3600;
      world.setNow(nowAt);
      await settle();
    }
    const parked = readEntriesAfter(world.store, seq).filter((entry) => entry.kind === 'word-parked');
    // The donor's mail, the workshop's about the request, the workshop's about the donor's; none about its own.
    expect(parked).toHaveLength(3);
    sink.setGate(() => undefined);
    at('10:00', '2026-07-20');
    const mine = listUnsent(world.store).find((word) => word.recipient === 'ada@shop.example')!;
    expect(tryMailAgain(world.context, { mailId: mine.mailId!, actor: 'coordinator' })).toMatchObject({
      ok: true,
    });
    expect(tryMailAgain(world.context, { mailId: mine.mailId!, actor: 'coordinator' })).toMatchObject({
      refusal: { kind: 'no-such-parked-mail' },
    });
    await settle();
    expect(sent()).toEqual(['ada@shop.example: Your extra collection: we have your request']);
  });

  test('that took it just before we died gets it again under the same Message-ID, after the lease', async () => {
    book();
    await reactor.settled();
    await sender.stop();
    at('10:10');
    const transport = smtpTransport(sink.url);
    const died = takeMail(world.context)!;
    const mail = renderMail({ db: world.store, origin: ORIGIN, from: undefined }, died);
    await transport.send(mail, new Date(nowAt * 1000));
    transport.close();
    // Never noted as sent. Another sender leaves it alone while the lease runs.
    await settle('10:11');
    const ids = () =>
      sink.received.filter(({ to }) => to[0] === died.recipient).map(({ headers }) => headers['message-id']);
    expect(ids()).toHaveLength(1);
    await settle('10:14');
    expect(ids()).toHaveLength(2);
    expect(new Set(ids()).size).toBe(1);
    await settle('11:00');
    expect(ids()).toHaveLength(2);
  });
});

test('two senders at once send each mail once', async () => {
  book();
  await reactor.settled();
  at('10:10');
  const taken = [takeMail(world.context), takeMail(world.context), takeMail(world.context)];
  expect(new Set(taken.slice(0, 2).map((mail) => mail!.recipient)).size).toBe(2);
  expect(taken[2]).toBeUndefined();
  for (const mail of taken.slice(0, 2)) noteSent(world.context, mail!.mailId);
});

test('a donor without an address: nothing is sent, and the outbox says so', async () => {
  inTransaction(world.store, (tx) => {
    for (const id of ['s1', 's2']) saveSite(tx, { ...getSite(tx, id)!, contacts: [] });
  });
  const made = book();
  cancelBooking(world.context, { bookingId: made.ok ? made.value.bookingId : '', actor: 'donor:d1' });
  await settle('10:30');
  expect(sent().every((line) => line.startsWith('office'))).toBe(true);
  expect(listDoneWords(world.store).filter((word) => word.unsaid === 'no-address')).toHaveLength(2);
});

test('the workshop’s own text goes out, with its names put in, and a name is never read as a placeholder', async () => {
  inTransaction(world.store, (tx) =>
    saveSite(tx, { ...getSite(tx, 's1')!, name: 'The {window} & Söhne\r\nBcc: x' }),
  );
  const text = { subject: 'Hello {site}', body: 'At {site}: {window}' };
  changeTemplate(world.context, { template: 'booking-received', text, actor: 'coordinator' });
  book();
  await settle('10:10');
  const mail = sink.received.find(({ to }) => to[0] === 'ada@shop.example')!;
  // RFC 2047 words in the header; nothing of the name becomes a header of its own.
  expect(mail.headers).not.toHaveProperty('bcc');
  expect(mail.to).toEqual(['ada@shop.example']);
  expect(mail.text).toContain('At The {window} & Söhne');
  expect(wordsNow()).toEqual([]);
});

test('without an SMTP server mails are files that a mail program opens', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'feedround-mail-'));
  try {
    book();
    await reactor.settled();
    await sender.stop();
    at('10:10');
    sender = startSending(folderTransport(folder));
    await sender.settled();
    const files = readdirSync(folder);
    expect(files).toHaveLength(2);
    const messages = files.map((name) => readMessage(readFileSync(join(folder, name), 'utf8')));
    expect(messages.map(({ headers }) => headers['to']).sort()).toEqual([
      'ada@shop.example',
      'office@press.example',
    ]);
    expect(files.every((name) => /^[\w-]+\.eml$/.test(name))).toBe(true);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});

test('midnight of the fixture is where the tests think it is', () => {
  expect(DAY_START_AT).toBe(dayStart('Europe/Vienna', '2026-06-15'));
});
