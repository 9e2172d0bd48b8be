import { runYears } from '../src/core/simulation/run-years.ts';
import { compareWorth } from '../src/usecases/compare-worth.ts';
import { worthWanted } from '../src/usecases/own-workshop.ts';
import { openDemo } from './fixtures/demo-app.ts';

const demo = await openDemo();
const wanted = worthWanted(demo.context.store, demo.context.now(), { worlds: 3, weeks: 52 });
if (!wanted.ok) throw wanted;
for (const [horizonDays, reliability] of [
  [7, 0.6],
  [10, 0.6],
  [7, 0.4],
  [7, 0],
] as const) {
  const { calls: _, ...planner } = wanted.value.planner;
  const w = {
    ...wanted.value,
    policies: ['planner'] as const,
    planner: {
      ...planner,
      horizonDays,
      ...(reliability > 0 ? { calls: { reliability, fromShare: 0.8, premiumMicros: 6_000_000 } } : {}),
    },
  };
  const t = process.cpuUsage();
  const { years } = await runYears(w);
  const { figures } = compareWorth({ years, wanted: w as never }).policies[0]!;
  console.log(
    horizonDays,
    reliability,
    Object.entries(figures)
      .map(([k, v]) => `${k} ${k.endsWith('Micros') ? Math.round(v.mean / 1e6) : v.mean.toFixed(3)}`)
      .join('  '),
    (process.cpuUsage(t).user / 1e6).toFixed(0),
    's',
  );
}
