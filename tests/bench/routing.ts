/**
 * The routing kernel on published instances: `npm run bench routing -- DIR|FILES --seconds S --seed N [--json]`.
 * Reads CVRPLIB (.vrp) and Solomon (.txt); best-known values come from the nearest best-known.json in the folder or
 * above it. Times are CPU seconds of the search. Rounding: X, A, B, E, P, F, M to the nearest whole; CMT to a
 * thousandth; Solomon cut at a tenth (the convention of the DIMACS challenge, distance only).
 */
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { parseArgs } from 'node:util';
import { checkSolution } from '../../src/core/routing/check.ts';
import { solveRouting } from '../../src/core/routing/search.ts';
import { type Instance, readSolomon, readVrp } from './instances.ts';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    seconds: { type: 'string', default: '5' },
    seed: { type: 'string', default: '1' },
    json: { type: 'boolean', default: false },
  },
});
const seconds = Number(values.seconds);
const seed = Number(values.seed);

const filesOf = (path: string): string[] =>
  statSync(path).isDirectory()
    ? readdirSync(path)
        .sort()
        .flatMap((name) => filesOf(join(path, name)))
    : /\.(vrp|txt)$/.test(path)
      ? [path]
      : [];

const missing = positionals.filter((path) => !existsSync(path));
if (positionals.length === 0 || missing.length > 0) {
  console.error(
    missing.length > 0
      ? `Not there: ${missing.join(', ')}. The published instances are not part of the repository; name the folder that holds them.`
      : 'Name a folder or files with published instances (.vrp, or Solomon’s .txt).',
  );
  process.exit(2);
}

type Known = { readonly [set: string]: { readonly [name: string]: { readonly value: number } } };
function bestKnown(file: string): Known {
  for (let folder = dirname(file); ; folder = dirname(folder)) {
    const path = join(folder, 'best-known.json');
    if (existsSync(path)) return JSON.parse(readFileSync(path, 'utf8'));
    if (folder === dirname(folder)) return {};
  }
}

function read(file: string): Instance & { readonly set: string } {
  const text = readFileSync(file, 'utf8');
  const name = basename(file).replace(/\.(vrp|txt)$/, '');
  const set = basename(dirname(file));
  if (file.endsWith('.txt')) return { ...readSolomon(text, name, 'truncated-tenth'), set: 'solomon-dimacs' };
  return { ...readVrp(text, name, set === 'CMT' ? 'thousandth' : 'nearest'), set };
}

const cpuS = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

const instances = positionals.flatMap(filesOf).map((file) => {
  const { name, set, input, scale } = read(file);
  const startS = cpuS();
  let secondsToBest = 0;
  const { solution, iterations } = solveRouting(input, {
    seed,
    iterations: Number.MAX_SAFE_INTEGER,
    spent: () => (cpuS() - startS) / seconds,
    onBest: () => {
      secondsToBest = cpuS() - startS;
    },
  });
  const report = checkSolution(input, {
    rounds: solution.rounds,
    leftOut: solution.leftOut.map((out) => out.visit),
  });
  const cost = solution.cost / scale;
  const known = bestKnown(file);
  const value = Object.entries(known).flatMap(([of, rows]) =>
    of.endsWith(set) && rows[name] ? [rows[name].value] : [],
  )[0];
  const row = {
    name,
    set,
    cost,
    bestKnown: value ?? null,
    gapPct: value === undefined ? null : (100 * (cost - value)) / value,
    iterations,
    secondsToBest,
    feasible:
      report.faults.length === 0 && report.unservedMandatory.length === 0 && report.cost === solution.cost,
  };
  if (!values.json)
    console.log(
      `${set}/${name}`.padEnd(28),
      String(cost).padStart(9),
      value === undefined ? 'no best known' : `${row.gapPct!.toFixed(2)} %`,
      `${Math.round(iterations / seconds)} it/s`,
      row.feasible ? '' : 'NOT FEASIBLE',
    );
  return row;
});
const gaps = instances.flatMap((row) => (row.gapPct === null ? [] : [row.gapPct]));
const meanGapPct = gaps.length === 0 ? null : gaps.reduce((sum, gap) => sum + gap, 0) / gaps.length;
const worstGapPct = gaps.length === 0 ? null : Math.max(...gaps);
if (values.json) console.log(JSON.stringify({ seconds, seed, instances, meanGapPct, worstGapPct }));
else
  console.log(
    `mean gap ${meanGapPct?.toFixed(3) ?? '-'} %, worst ${worstGapPct?.toFixed(2) ?? '-'} %, ${seconds} CPU s, seed ${seed}`,
  );
