/**
 * kill -9 of a real server in the middle of its reactions and its mails, at moments drawn by seed and told by what the
 * database holds: nothing that should follow is lost, nothing follows twice, and the file stays whole.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { seededRandom } from '../../src/core/quantity/random.ts';
import { REACTIONS } from '../../src/reactions/all.ts';
import { closeStore, inTransaction, openStore, type Store } from '../../src/store/db.ts';
import { fileFaults } from '../../src/store/integrity.ts';
import { lastSeq, readEntriesAfter } from '../../src/store/journal.ts';
import { getCursor } from '../../src/store/reactions.ts';
import { listSites } from '../../src/store/sites.ts';
import { requireWorkshop, saveWorkshop } from '../../src/store/workshop.ts';
import type { Context } from '../../src/usecases/context.ts';
import { beginReactions } from '../../src/usecases/react.ts';
import { reportFull } from '../../src/usecases/report-full.ts';
import { requestExtraCollection } from '../../src/usecases/request-extra-collection.ts';
import { readMessage } from '../fixtures/mail-sink.ts';
import { ENTRY, runHere } from './run.ts';

const folder = mkdtempSync(join(tmpdir(), 'feedround-react-'));
const db = join(folder, 'town.db');
const mails = join(folder, 'mail');
const KILLS = 8;
const HAPPENINGS = 60;
let store: Store;
let context: Context;

beforeAll(async () => {
  for (const kind of ['workshop.json', 'sites.csv', 'vans.csv', 'drivers.csv']) {
    const path = join('geo-fixtures', kind);
    expect((await runHere('import', kind.split('.')[0]!, path, '--db', db)).status).toBe(0);
  }
  store = openStore(db);
  let ids = 0;
  context = { store, now: () => Math.floor(Date.now() / 1000), newId: () => `made-${++ids}` };
  inTransaction(store, (tx) => {
    const workshop = requireWorkshop(tx);
    const { demoToday: _, ...settings } = workshop.settings;
    // Every word at once, whatever the hour at which this test is run.
    const word = {
      ...settings.word,
      email: 'office@press.example',
      gatherS: 0,
      quietFrom: '00:00',
      quietUntil: '00:00',
    };
    saveWorkshop(tx, { ...workshop, settings: { ...settings, word } });
  });
  beginReactions(context, REACTIONS);
});
afterAll(() => {
  closeStore(store);
  rmSync(folder, { recursive: true, force: true });
});

const start = (): ChildProcess =>
  spawn(process.execPath, [ENTRY, 'serve', '--db', db], {
    stdio: 'ignore',
    env: { ...process.env, FEEDROUND_PORT: '0', FEEDROUND_MAIL_FOLDER: mails },
  });
const ended = (child: ChildProcess) =>
  new Promise<{ code: number | null; signal: NodeJS.Signals | null }>((done) =>
    child.on('exit', (code, signal) => done({ code, signal })),
  );
/** Resolves as soon as it holds, looked at between any two commits of the server. */
const until = (holds: () => boolean, child: ChildProcess) =>
  new Promise<void>((done, failed) => {
    const look = setInterval(() => {
      if (!holds()) return;
      clearInterval(look);
      done();
    }, 1);
    child.on('exit', () => {
      clearInterval(look);
      failed(new Error('the server ended by itself'));
    });
  });
const count = (sql: string): number => store.$client.prepare(sql).pluck().get() as number;
/** Rises with each effect: words queued, words handed to a mail, words sent. */
const effects = (): number =>
  count('SELECT count(*) + count(mail_id) + count(sent_at) FROM outbox') +
  count('SELECT coalesce(sum(seq), 0) FROM reaction_cursors');

/** Nothing that has been told by now is still to follow, and no mail is still to be sent. */
const isDone = (): boolean =>
  REACTIONS.every(({ on, name }) =>
    readEntriesAfter(store, getCursor(store, name) ?? 0, 1000).every(
      (entry) => !on.some((kind) => kind === entry.kind),
    ),
  ) && count('SELECT count(*) FROM outbox WHERE sent_at IS NULL AND unsaid IS NULL') === 0;

function happen(i: number): void {
  const sites = listSites(store);
  const site = sites[i % sites.length]!;
  const at = context.now();
  const told =
    i % 3 === 0
      ? requestExtraCollection(context, {
          factId: `fact-${i}`,
          siteId: site.id,
          eventKind: 'clearance',
          eventEndsAt: at + 86_400,
          expectedBags: 4,
          fromAt: at + 86_400,
          untilAt: at + 20 * 86_400,
          remarks: '',
          hazards: '',
          requestedBy: `donor:${site.donorId}`,
        })
      : reportFull(context, { factId: `fact-${i}`, siteId: site.id, at, fraction: 1, reportedBy: 'test' });
  expect(told.ok).toBe(true);
}

test(`killed ${KILLS} times between ${HAPPENINGS} happenings and their mails: each word once, in one mail`, async () => {
  const random = seededRandom(6);
  const firstSeq = lastSeq(store);
  let told = 0;
  for (let kill = 0; kill < KILLS; kill++) {
    // Some happen while nobody serves, some while it does.
    while (told < (HAPPENINGS * (kill + 0.5)) / KILLS) happen(told++);
    const child = start();
    const from = effects();
    const enough = from + 1 + random.below(40);
    const end = ended(child);
    await until(() => effects() > from, child);
    while (told < (HAPPENINGS * (kill + 1)) / KILLS) happen(told++);
    // Or when all is done: to be killed at rest must do no harm either.
    await until(() => effects() >= enough || isDone(), child);
    child.kill('SIGKILL');
    expect(await end).toEqual({ code: null, signal: 'SIGKILL' });
    // Stands for the three minutes after which nobody waits for a sender that died any more.
    store.$client.exec(
      'UPDATE outbox SET leased_until_at = 0 WHERE leased_until_at IS NOT NULL AND sent_at IS NULL',
    );
    expect(fileFaults(store)).toEqual([]);
  }
  const last = start();
  const end = ended(last);
  await until(isDone, last);
  last.kill('SIGTERM');
  expect(await end).toEqual({ code: 0, signal: null });

  const entries = readEntriesAfter(store, firstSeq, 1000);
  const of = (kind: string) => entries.filter((entry) => entry.kind === kind);
  expect(of('container-reported-full').length + of('extra-collection-requested').length).toBe(HAPPENINGS);
  // The workshop hears of every one, the donor of each own request, and nobody of anything else.
  const queued = store.$client.prepare('SELECT id, mail_id, recipient FROM outbox ORDER BY id').all() as {
    id: string;
    mail_id: string;
    recipient: string;
  }[];
  const expected = [
    ...[...of('container-reported-full'), ...of('extra-collection-requested')].map(
      ({ seq }) => `exception:entry ${seq}:office@press.example`,
    ),
    ...of('extra-collection-requested').map(({ seq }) => `booking-received:entry ${seq}:`),
  ];
  expect(queued.map(({ id }) => id.replace(/^(booking-received:entry \d+:).*/, '$1')).sort()).toEqual(
    expected.sort(),
  );
  // A mail that was written again is the same file: as many files as mails, each with its words, none twice.
  const files = readdirSync(mails).filter((name) => name.endsWith('.eml'));
  expect(files.map((name) => name.slice(0, -4)).sort()).toEqual(
    [...new Set(queued.map((word) => word.mail_id))].sort(),
  );
  const said = files.map((name) => readMessage(readFileSync(join(mails, name), 'utf8')).text).join('\n');
  expect(said.match(/We have your request/g)).toHaveLength(of('extra-collection-requested').length);
  expect(await runHere('check', '--db', db)).toMatchObject({ status: 0 });
}, 240_000);
