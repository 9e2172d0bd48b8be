/**
 * The planner's search on published inventory-routing instances:
 * `npm run bench inventory -- DIR|FILES --seconds S --seed N [--json]`. The reader (tests/fixtures/inventory-instances.ts)
 * shows why they are the planner's problem with its tables filled from the instance. Best-known values come from the
 * nearest best-known.json in the folder or above it. Times are CPU seconds of the search; costs are computed again from
 * the raw instance. A search ends early only where it has reached the published value.
 */
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { parseArgs } from 'node:util';
import { searchWeek } from '../../src/core/planning/search.ts';
import { MAX_STOPS, UNLOAD } from '../../src/core/planning/timetable.ts';
import { emptyState, stateMicros } from '../../src/core/planning/week-state.ts';
import { priceOfRoutes, readInventoryInstance, weekOfInstance } from '../fixtures/inventory-instances.ts';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    seconds: { type: 'string', default: '20' },
    seed: { type: 'string', default: '1' },
    json: { type: 'boolean', default: false },
  },
});
const seconds = Number(values.seconds);
const seed = Number(values.seed);
if (!(seconds > 0) || !Number.isInteger(seed)) {
  console.error('--seconds takes a number above 0, --seed a whole number.');
  process.exit(2);
}

const filesOf = (path: string): string[] =>
  statSync(path).isDirectory()
    ? readdirSync(path)
        .toSorted((a, b) => a.localeCompare(b, 'en', { numeric: true }))
        .flatMap((name) => filesOf(join(path, name)))
    : path.endsWith('.dat')
      ? [path]
      : [];

const missing = positionals.filter((path) => !existsSync(path));
if (positionals.length === 0 || missing.length > 0) {
  console.error(
    missing.length > 0
      ? `Not there: ${missing.join(', ')}. The published instances are not part of the repository; name the folder that holds them.`
      : 'Name a folder or files with published single-vehicle inventory-routing instances (.dat).',
  );
  process.exit(2);
}
const files = positionals.flatMap(filesOf);
if (files.length === 0) {
  console.error(`No .dat file in ${positionals.join(', ')}.`);
  process.exit(2);
}

const SET = 'irp-single-OU';
function bestKnown(file: string, name: string): number | undefined {
  for (let folder = dirname(file); ; folder = dirname(folder)) {
    const path = join(folder, 'best-known.json');
    if (existsSync(path)) return JSON.parse(readFileSync(path, 'utf8'))[SET]?.[name]?.value;
    if (folder === dirname(folder)) return undefined;
  }
}

const cpuS = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

const instances = files.map((file) => {
  const name = `${basename(dirname(file))}/${basename(file, '.dat')}`;
  const instance = readInventoryInstance(readFileSync(file, 'utf8'), name);
  const { week, fixedMicros } = weekOfInstance(instance);
  const startS = cpuS();
  let iterations = 0;
  let secondsToBest = 0;
  let bestMicros = Infinity;
  const value = bestKnown(file, name);
  const isReached = (): boolean => value !== undefined && bestMicros + fixedMicros <= 1e6 * value + 5000;
  const found = searchWeek(
    week,
    emptyState(week),
    { seed, iterations: Number.MAX_SAFE_INTEGER },
    {
      spent: () => (cpuS() - startS) / seconds,
      enough: () => isReached() || cpuS() - startS >= seconds,
      progress: ({ iteration, costMicros }) => {
        if (iteration < Number.MAX_SAFE_INTEGER) iterations = iteration;
        if (costMicros >= bestMicros) return;
        bestMicros = costMicros;
        secondsToBest = cpuS() - startS;
      },
    },
  );
  const routes = week.shifts.map(({ index }) =>
    [...found.orders.slice(index * MAX_STOPS, index * MAX_STOPS + found.counts[index]!)].filter(
      (site) => site !== UNLOAD,
    ),
  );
  const tookS = cpuS() - startS;
  const { cost, faults } = priceOfRoutes(instance, routes);
  const searchCost = (stateMicros(found) + fixedMicros) / 1e6;
  const row = {
    name,
    cost: Math.round(cost * 100) / 100,
    bestKnown: value ?? null,
    gapPct: value === undefined ? null : (100 * (cost - value)) / value,
    feasible: faults.length === 0 && Math.abs(cost - searchCost) < 0.01,
    iterations,
    secondsToBest,
  };
  if (!values.json)
    console.log(
      name.padEnd(22),
      row.cost.toFixed(2).padStart(9),
      value === undefined ? 'no best known' : `${row.gapPct!.toFixed(2)} %`,
      `${Math.round(iterations / tookS)} it/s, best after ${secondsToBest.toFixed(1)} s`,
      row.feasible ? '' : `NOT FEASIBLE: ${faults.join('; ') || `the search says ${searchCost}`}`,
    );
  return row;
});

const mean = (numbers: readonly number[]): number | null =>
  numbers.length === 0 ? null : numbers.reduce((sum, x) => sum + x, 0) / numbers.length;
const gapsOf = (rows: typeof instances): number[] => rows.flatMap((row) => row.gapPct ?? []);
const meanGapPct = mean(gapsOf(instances));
if (values.json) console.log(JSON.stringify({ seconds, seed, instances, meanGapPct }));
else {
  const groups = Map.groupBy(instances, ({ name }) => name.replace(/^[a-z]+_(H\d+)\/abs\d+n/, '$1 n '));
  for (const [group, rows] of groups) {
    const gaps = gapsOf(rows);
    const equal = gaps.filter((gap) => gap < 0.001).length;
    console.log(
      `${group.padEnd(8)} mean gap ${mean(gaps)?.toFixed(3) ?? '-'} %, worst ${Math.max(...gaps).toFixed(2)} %, ${equal} of ${gaps.length} at the best known`,
    );
  }
  console.log(
    `mean gap ${meanGapPct?.toFixed(3) ?? '-'} % over ${instances.length}, ${seconds} CPU s, seed ${seed}`,
  );
}
