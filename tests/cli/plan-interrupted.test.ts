/** `feedround plan` at a terminal: progress on stderr, Ctrl-C keeps the best so far, a second one drops it. */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, expect, test, vi } from 'vitest';
import { runCommandLine } from '../../src/cli.ts';
import { closeStore, openStore } from '../../src/store/db.ts';
import { listPlans } from '../../src/store/plans.ts';
import { openDemo } from '../fixtures/demo-app.ts';
import { ENTRY, runHere } from './run.ts';

const folder = mkdtempSync(join(tmpdir(), 'feedround-interrupt-'));
const db = join(folder, 'town.db');
beforeAll(async () => {
  (await openDemo(db)).close();
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** More tries than anybody waits for. */
const ENDLESS = ['plan', '--from', '2026-06-15', '--days', '3', '--iterations', '10000000', '--db', db];
const plans = (): number => {
  const store = openStore(db);
  try {
    return listPlans(store).length;
  } finally {
    closeStore(store);
  }
};

test('a signal ends the search; the best so far is printed and kept', async () => {
  const before = plans();
  // A pipe that says it is a terminal, so that progress is written.
  const terminal = 'data:text/javascript,process.stderr.isTTY=true';
  const child = spawn(process.execPath, ['--import', terminal, ENTRY, ...ENDLESS, '--json']);
  const said = { stdout: '', stderr: '' };
  let isSent = false;
  child.stdout.on('data', (part: Buffer) => {
    said.stdout += part;
  });
  child.stderr.on('data', (part: Buffer) => {
    said.stderr += part;
    if (!isSent && said.stderr.includes('best so far')) isSent = child.kill('SIGINT');
  });
  const status = await new Promise<number | null>((done) => child.on('close', done));
  expect([status, said.stderr.includes('Ctrl-C once more drops it')]).toEqual([0, true]);
  expect(said.stderr).toMatch(
    /planning: \d+\s%, [\d,]+ tries; best so far \S+ and [\d,.]+\skm \(Ctrl-C keeps it\)/,
  );
  expect(JSON.parse(said.stdout).rounds.length).toBeGreaterThan(0);
  expect(plans()).toBe(before + 1);
});

test('nothing of it is written where nobody watches', async () => {
  const words = ['plan', '--from', '2026-06-15', '--days', '2', '--iterations', '50', '--db', db];
  expect(await runHere(...words)).toMatchObject({ status: 0, stderr: '' });
});

const isTerminal = process.stderr.isTTY;
afterEach(() => {
  vi.restoreAllMocks();
  process.stderr.isTTY = isTerminal;
});

test('a second one before the end drops it: no plan, and it says so', async () => {
  const before = plans();
  process.stderr.isTTY = true;
  let written = '';
  let sent = 0;
  vi.spyOn(process.stderr, 'write').mockImplementation((text) => {
    written += text;
    // Both at one moment, so that the search cannot end in between; only our own listener is meant.
    if (String(text).includes('best so far') && sent === 0)
      while (sent < 2) {
        sent++;
        process.listeners('SIGINT').at(-1)!('SIGINT');
      }
    return true;
  });
  expect(await runCommandLine(ENDLESS)).toBe(1);
  expect(written).toContain('Dropped: no plan was kept.');
  expect(plans()).toBe(before);
});
