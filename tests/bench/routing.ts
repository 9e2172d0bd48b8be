/**
 * The routing kernel on published instances: `npm run bench routing -- DIR|FILES --seconds S --seed N [--json]`, and on
 * made-up days of so many stops: `day-40-1` with every feature, `plain-day-40-1` with windows and loads alone; `rings-26`
 * is 1,040 stops with a limit on the length of a route.
 * Best-known values come from the nearest best-known.json in the folder or above it. Times are CPU seconds of the
 * search, one process, one core; every better solution goes through the independent checker outside of them.
 * `--warm` searches each instance for a second beforehand, as a server that has been running would have. An iteration is one of the string search; a bred child counts for n²/60 of them.
 *
 * | set | distances | cost |
 * |---|---|---|
 * | CVRPLIB (.vrp) but CMT | nearest whole | distance |
 * | CMT | nearest thousandth | distance; its limit on duration holds |
 * | Solomon (.txt, 100 customers) | cut at a tenth (DIMACS 2022) | distance |
 * | Homberger (.txt, 200 and more) | nearest thousandth | distance, fewest vehicles first; gap only if as many vehicles as best known |
 * | OPLib (.oplib) | its own (TSPLIB95) | score collected; the gap is what is missing |
 * | Tsiligirides (.txt) | nearest thousandth | score collected; the gap is what is missing |
 */
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { checkSolution } from '../../src/core/routing/check.ts';
import type { RoutingInput } from '../../src/core/routing/problem.ts';
import { solveRouting } from '../../src/core/routing/search.ts';
import type { RoutingSolution } from '../../src/core/routing/solution.ts';
import { type Instance, readOplib, readSolomon, readTsiligirides, readVrp } from './instances.ts';
import { rings, workingDay } from './made-up.ts';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    seconds: { type: 'string', default: '5' },
    seed: { type: 'string', default: '1' },
    json: { type: 'boolean', default: false },
    warm: { type: 'boolean', default: false },
  },
});
const seconds = Number(values.seconds);
const seed = Number(values.seed);
/** How long a warm process has searched before, with another seed, uncounted. */
const WARM_S = 1;

const filesOf = (path: string): string[] =>
  statSync(path).isDirectory()
    ? readdirSync(path)
        .sort()
        .flatMap((name) => filesOf(join(path, name)))
    : /\.(vrp|txt|oplib)$/.test(path)
      ? [path]
      : [];

/** `day-40-1`: a made-up day of 40 stops, see `workingDay`; `rings-26`: see `rings`. */
const DAY = /^(plain-)?day-(\d+)-(\d+)$/;
const RINGS = /^rings-(\d+)$/;
const isMadeUp = (path: string): boolean => DAY.test(path) || RINGS.test(path);
const missing = positionals.filter((path) => !isMadeUp(path) && !existsSync(path));
if (positionals.length === 0 || missing.length > 0) {
  console.error(
    missing.length > 0
      ? `Not there: ${missing.join(', ')}. The published instances are not part of the repository; name the folder that holds them.`
      : 'Name a folder or files with published instances (.vrp, or Solomon’s .txt).',
  );
  process.exit(2);
}

type KnownValue = { readonly value: number; readonly vehicles?: number };
type Known = { readonly [set: string]: { readonly [name: string]: KnownValue } };
function bestKnown(file: string): Known {
  for (let folder = dirname(file); ; folder = dirname(folder)) {
    const path = join(folder, 'best-known.json');
    if (existsSync(path)) return JSON.parse(readFileSync(path, 'utf8'));
    if (folder === dirname(folder)) return {};
  }
}

/** More than giving up one vehicle can save in driving, in thousandths: fewest vehicles come first. */
const PER_VEHICLE = 2_000_000;

/** An instance and the set of best-known.json that its value is in, from the whole path of the file. */
function read(file: string): Instance & { readonly set: string; readonly best?: number } {
  const ringed = RINGS.exec(file);
  if (ringed) return { ...rings(Number(ringed[1])), set: 'made-up' };
  const day = DAY.exec(file);
  if (day) return { ...workingDay(Number(day[2]), Number(day[3]), day[1] !== undefined), set: 'made-up' };
  const text = readFileSync(file, 'utf8');
  const name = basename(file).replace(/\.(vrp|txt|oplib)$/, '');
  const folder = basename(dirname(resolve(file)));
  if (file.endsWith('.oplib')) return { ...readOplib(text, name), set: 'oplib-EA4OP' };
  if (/^\s*[\d.]+\s+\d+\s*$/m.test(text.split('\n')[0]!))
    return { ...readTsiligirides(text, name), set: `op-${folder}` };
  if (file.endsWith('.txt')) {
    const tenth = readSolomon(text, name, 'truncated-tenth');
    const n = tenth.input.visits.length;
    if (n <= 100) return { ...tenth, set: 'solomon-dimacs' };
    return {
      ...readSolomon(text, name, 'thousandth', PER_VEHICLE),
      set: `homberger${n}-hierarchical`,
      perVehicle: PER_VEHICLE,
    };
  }
  return { ...readVrp(text, name, folder === 'CMT' ? 'thousandth' : 'nearest'), set: `cvrp-${folder}` };
}

const cpuS = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

/** Runs for so many CPU seconds, without those spent in `outside`. */
function until(limitS: number) {
  const startS = cpuS();
  let awayS = 0;
  const passedS = (): number => cpuS() - startS - awayS;
  return {
    iterations: Number.MAX_SAFE_INTEGER,
    spent: () => passedS() / limitS,
    passedS,
    outside: (work: () => void): void => {
      const fromS = cpuS();
      work();
      awayS += cpuS() - fromS;
    },
  };
}

/** Whether the independent checker finds no fault, and the same cost (if all that must be served is). */
function isRight(input: RoutingInput, { rounds, leftOut }: RoutingSolution, cost: number): boolean {
  const report = checkSolution(input, { rounds, leftOut: leftOut.map(({ visit }) => visit) });
  return report.faults.length === 0 && (report.unservedMandatory.length > 0 || report.cost === cost);
}

const instances = positionals
  .flatMap((path) => (isMadeUp(path) ? [path] : filesOf(path)))
  .map((file) => {
    const { name, set, input, scale, totalPrize, best: told, perVehicle = 0 } = read(file);
    if (values.warm) solveRouting(input, { seed: seed + 1000, ...until(WARM_S) });
    const clock = until(seconds);
    let secondsToBest = 0;
    let checked = 0;
    let wrong = 0;
    const { solution, iterations } = solveRouting(input, {
      seed,
      ...clock,
      onBest: (cost, _, better) => {
        secondsToBest = clock.passedS();
        clock.outside(() => {
          checked++;
          if (!isRight(input, better(), cost)) wrong++;
        });
      },
    });
    if (!isRight(input, solution, solution.cost)) wrong++;
    const vehicles = solution.rounds.length;
    const cost =
      totalPrize === undefined
        ? (solution.cost - perVehicle * vehicles) / scale
        : (totalPrize - solution.leftOut.reduce((sum, { visit }) => sum + input.visits[visit]!.prize, 0)) /
          scale;
    const best = told ? { value: told, vehicles: 0 } : bestKnown(resolve(file))[set]?.[name];
    const isComparable = best !== undefined && (perVehicle === 0 || best.vehicles === vehicles);
    const sign = totalPrize === undefined ? 1 : -1;
    const row = {
      name,
      set,
      cost,
      bestKnown: best?.value ?? null,
      gapPct: isComparable ? (100 * sign * (cost - best.value)) / best.value : null,
      iterations,
      secondsToBest,
      feasible: wrong === 0 && !solution.leftOut.some((out) => out.mandatory),
    };
    if (!values.json)
      console.log(
        `${set}/${name}`.padEnd(34),
        String(cost).padStart(9),
        best === undefined
          ? 'no best known'
          : row.gapPct === null
            ? `${vehicles} vehicles, best known ${best.vehicles}`
            : `${row.gapPct.toFixed(2)} %`,
        `${Math.round(iterations / seconds)} it/s, best after ${secondsToBest.toFixed(1)} s, ${checked} better ones checked`,
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
    `mean gap ${meanGapPct?.toFixed(3) ?? '-'} %, worst ${worstGapPct?.toFixed(2) ?? '-'} %, ${seconds} CPU s, seed ${seed}; at most ${Math.round(process.resourceUsage().maxRSS / 1024)} MiB`,
  );
