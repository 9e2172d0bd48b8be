/** How fast a long history comes in: `npm run bench imports -- [rows]` (100,000 weigh-ins by default). */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { importTable } from '../../src/usecases/import-table.ts';
import { openDemo } from '../fixtures/demo-app.ts';

const ROWS = Number(process.argv[2] ?? 100_000);
const folder = mkdtempSync(join(tmpdir(), 'feedround-bench-'));
const demo = await openDemo(join(folder, 'town.db'));
const sites = ['harrow-cash', 'mossop-parts', 'lind-furniture', 'fenn-foods'];
const file = join(folder, 'weigh-ins.csv');
const lines = Array.from({ length: ROWS }, (_, i) => {
  const at = new Date(Date.UTC(2010, 0, 1) + i * 4_000_000).toISOString().slice(0, 16);
  return `bulk-${i},${sites[i % sites.length]},${at}Z,${(i % 300) / 10 + 1}`;
});
writeFileSync(file, `key,site,at,net_kg\n${lines.join('\n')}\n`);
console.log(`before: at most ${(process.resourceUsage().maxRSS / 1e3).toFixed(0)} MB`);
for (const what of ['first time', 'again']) {
  const startMs = performance.now();
  const report = await importTable(demo.context, 'weigh-ins', file, { dryRun: false, actor: 'bench' });
  const seconds = (performance.now() - startMs) / 1000;
  // Kilobytes; of the whole process so far.
  const peakMb = process.resourceUsage().maxRSS / 1e3;
  console.log(
    `${what}: ${report.rows} rows in ${seconds.toFixed(1)} s, ${report.added} added, ${report.unchanged} unchanged, ${report.faultCount} mistakes, at most ${peakMb.toFixed(0)} MB`,
  );
  if (report.faultCount > 0) console.log(report.faults[0]);
}
demo.close();
rmSync(folder, { recursive: true, force: true });
