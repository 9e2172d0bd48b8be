/** What a phone fetches once and keeps: over the real application. */
import { gzipSync, inflateSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { iconPng } from '../../../src/web/driver/icon.ts';
import type { SentSheet } from '../../../src/web/driver/sent-sheet.ts';
import { clientFiles, clientSource } from '../../../src/web/shared/client-bundle.ts';
import { type LongRound, openLongRound } from '../../fixtures/long-round.ts';

let server: LongRound;
let cookie: string;
beforeAll(() => {
  server = openLongRound(4);
  cookie = `feedround-driver=${server.signIn()}`;
});
afterAll(() => {
  expect(server.faults).toEqual([]);
  server.close();
});
const get = (path: string, headers: Record<string, string> = { cookie }) =>
  server.app.request(path, { headers });
const keptList = async (): Promise<{ version: string; shell: string; files: string[] }> => {
  const source = await (await get('/driver-worker.js', {})).text();
  return JSON.parse(/^self\.KEPT=(\{.*?\});/.exec(source)?.[1] ?? '{}');
};

test('the sheet as data is the driver’s own, with what is needed at a place that no plan knows', async () => {
  const sent: SentSheet = await (await get('/driver/run.json')).json();
  expect(sent).toMatchObject({ driverId: 'p1', language: 'en' });
  expect(sent.run.rounds.map(({ stops }) => stops.length)).toEqual([5]);
  expect(sent.sites).toHaveLength(4);
  expect(sent.grades.map(({ grade }) => grade)).toEqual(['ldpe-clear', 'ldpe-black']);
  expect(await (await get('/driver/clock.json')).json()).toEqual({
    driverId: 'p1',
    nowAt: server.context.now(),
  });
  for (const path of ['/driver/run.json', '/driver/clock.json', '/driver/shell'])
    expect((await get(path, {})).status, path).toBe(401);
});

test('every file that a phone is told to keep is there, and the empty page names nobody', async () => {
  const { files, shell } = await keptList();
  expect(files).toContain(shell);
  for (const file of files) expect((await get(file)).status, file).toBe(200);
  const html = await (await get(shell)).text();
  expect(html).not.toContain('Ida');
  expect(html).not.toMatch(/<script(?![^>]* src=)|\sstyle=|\son[a-z]+=/);
});

test('the first load is under 120 kB compressed: page, styles, scripts, worker and the sheet of a round', async () => {
  const { files } = await keptList();
  let bytes = 0;
  for (const path of [...files, '/driver-worker.js', '/driver', '/driver/run.json'])
    bytes += gzipSync(await (await get(path)).bytes()).length;
  expect(bytes).toBeLessThan(120_000);
});

test('a script that is served under an address of its own imports nothing; the sheet’s brings none of the server', () => {
  expect(clientSource('driver-worker')).not.toMatch(/\bimport\b|\bexport\b/);
  const scripts = clientFiles('driver-sheet');
  expect(scripts[0]).toMatch(/^\/assets\/client\/driver-sheet-/);
  expect(clientSource('driver-sheet')).not.toMatch(/sqlite|drizzle/);
});

test('the manifest has a name, a scope, and icons that are there (W3C Web Application Manifest)', async () => {
  const answer = await get('/driver.webmanifest', { 'accept-language': 'de' });
  expect(answer.headers.get('content-type')).toBe('application/manifest+json');
  const manifest = await answer.json();
  expect(manifest).toMatchObject({
    start_url: '/driver',
    scope: '/driver',
    display: 'standalone',
    lang: 'de',
  });
  for (const { src } of manifest.icons) expect((await get(src, {})).status, src).toBe(200);
  expect((await get('/assets/driver-7.png', {})).status).toBe(404);
});

describe('an icon', () => {
  test('is a Portable Network Graphics file (W3C, third edition): signature, chunks, size, a row filter each', () => {
    const png = Buffer.from(iconPng(192));
    expect([...png.subarray(0, 8)]).toEqual([137, 80, 78, 71, 13, 10, 26, 10]);
    expect(png.toString('latin1', 12, 16)).toBe('IHDR');
    expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([192, 192]);
    // "The IEND chunk's data is empty": its checksum is always AE 42 60 82.
    expect(png.subarray(-12).toString('hex')).toBe('0000000049454e44ae426082');
    const length = png.readUInt32BE(33);
    expect(png.toString('latin1', 37, 41)).toBe('IDAT');
    const rows = inflateSync(png.subarray(41, 41 + length));
    expect(rows).toHaveLength(192 * (1 + 3 * 192));
    for (let y = 0; y < 192; y++) expect(rows[y * (1 + 3 * 192)]).toBe(0);
  });
});
