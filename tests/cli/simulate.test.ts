import { expect, test } from 'vitest';
import { runHere } from './run.ts';

const short = ['--weeks', '4', '--donors', '8', '--iterations', '10'];

test('compares all policies over several worlds, with every figure and its interval', async () => {
  const { status, stdout } = await runHere('simulate', ...short, '--seeds', '2', '--seed', '3', '--json');
  expect(status).toBe(0);
  const result = JSON.parse(stdout);
  expect(result.reports.map((report: { policy: string }) => report.policy)).toEqual([
    'planner',
    'fixed',
    'call',
    'fullest',
    'nearest',
  ]);
  for (const { seeds, figures } of result.reports) {
    expect(seeds).toEqual([3, 4]);
    expect(figures.kmPerTonne.low).toBeLessThanOrEqual(figures.kmPerTonne.mean);
    expect(figures.kmPerTonne.high).toBeGreaterThanOrEqual(figures.kmPerTonne.mean);
  }
  expect(result.years).toHaveLength(10);
  expect(result.comparisons).toHaveLength(20);
  expect(result.currency).toBe('EUR');
  const { ratios, ratioEstimates } = result.comparisons[0];
  expect(ratioEstimates.kmPerTonne.mean).toBe(ratios.kmPerTonne);
  expect(ratioEstimates.kmPerTonne.low).toBeLessThan(ratios.kmPerTonne);
});

test('every key and figure of the JSON stands in the help', async () => {
  const { stdout: help } = await runHere('simulate', '--help');
  const { stdout } = await runHere('simulate', ...short, '--policy', 'call,fullest', '--json');
  const result = JSON.parse(stdout);
  const keys = [
    ...Object.keys(result),
    ...Object.keys(result.reports[0]),
    ...Object.keys(result.reports[0].figures),
    ...Object.keys(result.comparisons[0]),
  ];
  for (const key of keys) expect(help).toContain(key);
});

test('money has its currency, and a ratio its interval', async () => {
  const { stdout } = await runHere('simulate', ...short, '--policy', 'planner,call', '--seeds', '2');
  expect(stdout).toContain('EUR/t');
  expect(stdout).toMatch(
    /planner against call: km\/t \d\.\d\d \([−-]?\d+\.\d\d to \d+\.\d\d, less in \d of 2\)/,
  );
});

test('says in words what the planner is worth against each rule of thumb', async () => {
  const { status, stdout } = await runHere('simulate', ...short, '--policy', 'planner,call');
  expect(status).toBe(0);
  expect(stdout).toContain('planner against call: km/t');
  expect(stdout).toMatch(/simulated workshop and not yours/);
});

test('names the policies it knows', async () => {
  const { status, stderr } = await runHere('simulate', '--policy', 'psychic');
  expect(status).toBe(2);
  expect(stderr).toContain('--policy takes planner, fixed, call, fullest, nearest or all, not "psychic"');
});
