import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { runHere } from './run.ts';

const folder = mkdtempSync(join(tmpdir(), 'feedround-backtest-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const run = (text: string, ...more: string[]) => {
  const path = join(folder, 'series.csv');
  writeFileSync(path, text);
  return runHere('backtest', '--weigh-ins', path, ...more);
};

test('a steady series is forecast without bias, and all numbers are there', async () => {
  const rows = Array.from({ length: 40 }, (_, i) => {
    const day = new Date(Date.UTC(2026, 0, 1) + i * 7 * 86_400_000).toISOString().slice(0, 10);
    return `a,${day},${20 + (i % 3)}`;
  });
  const { status, stdout } = await run(`site,at,net_kg\n${rows.join('\n')}\n`, '--json');
  expect(status).toBe(0);
  const result = JSON.parse(stdout);
  // The first weigh-in only starts the clock.
  expect(result).toMatchObject({ series: 1, evaluated: 39, bySite: [{ site: 'a', evaluated: 39 }] });
  expect(Math.abs(result.bias)).toBeLessThan(0.03);
  for (const name of ['p50', 'p80', 'p95']) expect(result.coverage[name]).toBeGreaterThan(0.5);
  for (const name of ['lastValue', 'movingAverage', 'smoothedRate'])
    expect(result.baselines[name]).toEqual({ crps: expect.any(Number), mae: expect.any(Number) });
  // Nobody declared a volume in such a file.
  expect(result.baselines.declared).toEqual({ crps: null, mae: null });
});

test('mistakes are named with their line, and a file without pairs has nothing to score', async () => {
  expect(await run('site,at,net_kg\na,2026-01-01,heavy\n')).toMatchObject({
    status: 1,
    stderr: expect.stringContaining('line 2, net_kg "heavy"'),
  });
  expect(await run('site,at,net_kg\na,2026-01-01,5\n')).toMatchObject({
    status: 1,
    stderr: expect.stringContaining('two weigh-ins'),
  });
});
