import { existsSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { openWorkplace } from '../main.ts';
import { inTransaction } from '../store/db.ts';
import { listDonors } from '../store/donors.ts';
import { listDrivers } from '../store/drivers.ts';
import { appendEntry, lastSeq } from '../store/journal.ts';
import { publishedPlan } from '../store/plans.ts';
import { getSite } from '../store/sites.ts';
import { getWorkshop, requireWorkshop } from '../store/workshop.ts';
import { createLink } from '../usecases/access.ts';
import type { Context } from '../usecases/context.ts';
import { importFolder } from '../usecases/import-folder.ts';
import { productionOutlook, readProductionOutlook } from '../usecases/production-outlook.ts';
import { number } from '../web/shared/format.ts';
import { type Command, Refusal, type Words } from './command.ts';
import { tableText } from './import.ts';
import { planWithProgress, publish } from './plan.ts';
import { printPlan } from './print-plan.ts';
import { coordinatorLink, serveUntilStopped } from './serve.ts';
import { progressLine, readNames, say } from './workplace.ts';

const FIXTURES = fileURLToPath(new URL('../../geo-fixtures/', import.meta.url));
const DEMO_DATABASE = '.feedround/demo.db';

export const demo: Command = {
  name: 'demo',
  usage: '[--no-serve] [--fresh] [--db FILE]',
  summary: 'The whole of it with an invented town: load it, estimate, plan the week, print it, serve it.',
  details:
    'The demo lives in its own database and its own time: its clock starts on the morning it was loaded.',
  options: [
    { name: 'db', value: 'FILE', about: `The demo’s database file. Default: ${DEMO_DATABASE}.` },
    { name: 'no-serve', about: 'End after printing the plan.' },
    { name: 'fresh', about: 'Start anew: the demo’s database is deleted first.' },
  ],
  maxWords: 0,
  run: (words) => withDemo(words),
};

async function withDemo(words: Words): Promise<number> {
  const path = words.text('db') ?? DEMO_DATABASE;
  if (words.isOn('fresh')) for (const end of ['', '-wal', '-shm']) rmSync(path + end, { force: true });
  const isThere = existsSync(path);
  const { context, close } = openWorkplace(path);
  try {
    if (isThere) refuseOther(context, path);
    await loadTown(context);
    const published = publishedPlan(context.store);
    if (published) {
      say(`The demo in ${path} is as you left it. Start it anew with --fresh.\n`);
      const outlook = readProductionOutlook(context.store, context.now(), published);
      say(printPlan(published.plan, readNames(context.store), outlook));
    } else {
      const iterations = requireWorkshop(context.store).settings.searchIterations;
      const request = { seed: 1, iterations, actor: 'demo' };
      const { planId, plan, problem } = await planWithProgress(context, request);
      publish(context, planId);
      const outlook = productionOutlook(context.store, context.now(), problem, plan);
      say(printPlan(plan, readNames(context.store), outlook));
    }
    if (words.isOn('no-serve')) return 0;
    await serveUntilStopped(context, (origin) => {
      say(`\nFeedround is at ${origin}. Three people, three private links (Ctrl-C stops):`);
      say(`  coordinator  ${coordinatorLink(context, origin)}`);
      for (const line of otherLinks(context, origin)) say(line);
    });
    return 0;
  } finally {
    close();
  }
}

/** A database that somebody works with is not for playing. */
function refuseOther({ store }: Context, path: string): void {
  const workshop = getWorkshop(store);
  if (workshop && workshop.settings.demoToday === undefined)
    throw new Refusal(
      `${path} holds the real workshop "${workshop.name}". Name another file for the demo with --db.`,
    );
}

async function loadTown(context: Context): Promise<void> {
  // The demo's clock counts from this entry (src/main.ts), so it is the first of all.
  if (lastSeq(context.store) === 0)
    inTransaction(context.store, (tx) => {
      const realAt = Math.floor(Date.now() / 1000);
      appendEntry(tx, {
        at: realAt,
        kind: 'demo-started',
        subject: 'workshop:workshop',
        actor: 'demo',
        facts: { realAt },
      });
    });
  const line = progressLine();
  const { tables } = await importFolder(context, dirname(join(FIXTURES, 'workshop.json')), {
    dryRun: false,
    actor: 'demo',
    onRows: (kind, rows) => line.show(`${kind}: ${number(rows)} rows`),
  });
  line.clear();
  const faulty = tables.find((table) => table.faultCount > 0);
  if (faulty) throw new Refusal(`The demo’s own files have mistakes.\n${tableText(faulty, false)}`);
}

/** The driver who leaves first, and the donor that is called on next. */
function otherLinks(context: Context, origin: string): string[] {
  const { store } = context;
  const plan = publishedPlan(store);
  const driver = plan?.rounds[0]?.driverId ?? listDrivers(store)[0]?.id;
  const firstStop = plan?.rounds[0]?.stops.find((stop) => stop.kind === 'site');
  const donorId = getSite(store, firstStop?.siteId ?? '')?.donorId ?? listDonors(store)[0]?.id;
  const people = [
    ...(driver === undefined ? [] : [{ role: 'driver' as const, subjectId: driver }]),
    ...(donorId === undefined ? [] : [{ role: 'donor' as const, subjectId: donorId }]),
  ];
  return people.flatMap(({ role, subjectId }) => {
    const link = createLink(context, { role, subjectId, actor: 'demo' });
    return link.ok ? [`  ${role.padEnd(11)}  ${origin}/enter/${role}/${link.value.token}`] : [];
  });
}
