/** What happens, on the command line: told, followed, and what could not follow from it. */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { closeStore, inTransaction, openStore } from '../../src/store/db.ts';
import { lastSeq } from '../../src/store/journal.ts';
import { saveWaiting } from '../../src/store/reactions.ts';
import { ENTRY, runHere } from './run.ts';

const folder = mkdtempSync(join(tmpdir(), 'feedround-events-'));
const db = join(folder, 'town.db');
const run = (...args: string[]) => runHere(...args, '--db', db);
beforeAll(async () => {
  for (const kind of ['workshop.json', 'sites.csv', 'vans.csv', 'drivers.csv']) {
    const path = join('geo-fixtures', kind);
    expect((await run('import', kind.split('.')[0]!, path)).status).toBe(0);
  }
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('feedround happened', () => {
  test('says which facts a kind wants, and all that is wrong with those given', async () => {
    expect((await run('happened')).stderr).toContain('Which kind? There are');
    const asked = await run('happened', 'van-off-road');
    expect(asked).toMatchObject({ status: 0, stdout: expect.stringContaining('from_at: give a time') });
    const wrong = await run('happened', 'film-delivered', 'grade=gold', 'mass=3');
    expect(wrong.status).toBe(1);
    for (const part of ['mass is not asked for', 'grade "gold" cannot be taken', 'kg is missing'])
      expect(wrong.stderr).toContain(part);
    expect((await run('happened', 'film-delivered', 'kg')).status).toBe(2);
  });

  test('with a key twice is once, and a refusal is a sentence', async () => {
    const words = ['happened', 'film-delivered', 'grade=ldpe-clear', 'kg=4.5', '--key', 'door-1'];
    expect(await run(...words)).toEqual({ status: 0, stdout: 'door-1\n', stderr: '' });
    expect((await run(...words)).stdout).toBe('door-1\n');
    const again = await run('happened', 'film-delivered', 'grade=ldpe-clear', 'kg=5', '--key', 'door-1');
    expect(again).toMatchObject({
      status: 1,
      stderr: expect.stringContaining('used before with other content'),
    });
    const { stdout } = await run('events');
    expect(stdout.match(/brought to the door/g)).toHaveLength(1);
  });
});

describe('feedround events', () => {
  test('prints in words from any number on', async () => {
    const all = (await run('events')).stdout.trimEnd().split('\n');
    expect(all[0]).toMatch(
      /^1 {2}\w{3} \d+ \w{3}, \d\d:\d\d {2}The workshop .* was imported\. \(command line\)$/,
    );
    const second = await run('events', '--after', '1');
    expect(second.stdout.trimEnd().split('\n')).toEqual(all.slice(1));
    const [entry] = (await run('events', '--json')).stdout.split('\n');
    expect(JSON.parse(entry!)).toMatchObject({ seq: 1, kind: 'workshop-imported' });
    expect((await run('events', '--after', '-1')).status).toBe(2);
  });

  test('follows what another process writes, and ends on Ctrl-C with 0', async () => {
    const after = (await run('events')).stdout.trimEnd().split('\n').length;
    const child = spawn(process.execPath, [
      ENTRY,
      'events',
      '--follow',
      '--after',
      String(after),
      '--db',
      db,
    ]);
    let said = '';
    const heard = new Promise<void>((done) =>
      child.stdout.on('data', (part: Buffer) => {
        said += part;
        if (said.endsWith('\n')) done();
      }),
    );
    const ended = new Promise<number | null>((done) => child.on('exit', done));
    await run('happened', 'take-back-received', 'grade=ldpe-clear', 'kg=2', 'note=kneelers');
    await heard;
    child.kill('SIGINT');
    expect(await ended).toBe(0);
    expect(said).toMatch(/2 kg of LDPE clear came home as take-back: kneelers\. \(command line\)\n$/);
  });
});

describe('feedround reactions', () => {
  test('lists what waits, has it tried again, sets it aside', async () => {
    expect((await run('reactions')).stdout).toBe('Nothing waits.\n');
    const store = openStore(db);
    const row = { reaction: 'tell-somebody', seq: lastSeq(store), subject: 'a', attempts: 12 };
    inTransaction(store, (tx) => saveWaiting(tx, { ...row, nextAt: null, error: 'no line' }));
    closeStore(store);
    const listed = await run('reactions');
    expect(listed.stdout).toMatch(/tell-somebody +\d+ .*given up +no line/);
    expect((await run('reactions', 'retry', 'tell-somebody', String(row.seq))).status).toBe(0);
    expect(JSON.parse((await run('reactions', '--json')).stdout)).toMatchObject([{ attempts: 0 }]);
    expect((await run('reactions', 'aside', 'tell-somebody', String(row.seq))).stdout).toBe('Set aside.\n');
    expect(await run('reactions', 'aside', 'tell-somebody', String(row.seq))).toMatchObject({
      status: 1,
      stderr: expect.stringContaining('does not wait'),
    });
    expect((await run('reactions', 'burn', 'it', '1')).status).toBe(2);
  });
});
