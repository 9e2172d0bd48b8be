/** A real server over a real database file with the demo town, for stories in a real browser. */
import { mkdtempSync, rmSync } from 'node:fs';
import type { Server } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { serve as listen } from '@hono/node-server';
import type { Browser, Page } from 'playwright-core';
import { createApp } from '../../src/app.ts';
import type { Role } from '../../src/core/vocabulary.ts';
import { keepPlanning } from '../../src/jobs/keep-planning.ts';
import { keepScored } from '../../src/jobs/keep-scored.ts';
import { keepWorth } from '../../src/jobs/keep-worth.ts';
import { planInThread } from '../../src/jobs/plan-in-thread.ts';
import { yearsInThread } from '../../src/jobs/worth-in-thread.ts';
import { createLink } from '../../src/usecases/access.ts';
import type { Planner } from '../../src/usecases/context.ts';
import { planWeek } from '../../src/usecases/plan-week.ts';
import { publishPlan } from '../../src/usecases/publish-plan.ts';
import { scoreHistory } from '../../src/usecases/score-history.ts';
import { openDemo, planInPlace } from '../fixtures/demo-app.ts';

export async function openWorkplace({
  planner = planInThread,
}: {
  /** Of planning runs, where one must stand still to be looked at. */
  readonly planner?: Planner;
} = {}) {
  const folder = mkdtempSync(join(tmpdir(), 'feedround-e2e-'));
  const demo = await openDemo(join(folder, 'town.db'));
  const { context } = demo;
  const { planId, plan } = await planWeek(context, planInPlace, { seed: 1, iterations: 100, actor: 'test' });
  publishPlan(context, { planId, actor: 'test' });
  const faults: unknown[] = [];
  const worth = keepWorth(context, yearsInThread, (error) => faults.push(error));
  const planning = keepPlanning(context, planner, (error) => faults.push(error));
  const stopping = new AbortController();
  let app: ReturnType<typeof createApp> | undefined;
  const { server, origin } = await new Promise<{ server: ReturnType<typeof listen>; origin: string }>(
    (done) => {
      const started = listen(
        { fetch: (request: Request) => app!.fetch(request), hostname: '127.0.0.1', port: 0 },
        (info) => {
          const address = `http://127.0.0.1:${info.port}`;
          app = createApp({
            context,
            planner: planInPlace,
            planning,
            worth,
            scores: keepScored(
              context.store,
              async (onPhase) => scoreHistory(context.store, onPhase),
              (error) => faults.push(error),
            ),
            origin: address,
            onFault: (error) => faults.push(error),
            stopping: stopping.signal,
          });
          done({ server: started, origin: address });
        },
      );
    },
  );
  return {
    context,
    plan,
    planning,
    origin,
    faults,
    setNow: demo.setNow,
    /** Breaks every connection, as a lost network would. */
    dropLines: (): void => (server as Server).closeAllConnections(),
    /** Opens the private link and presses its one button, as a person would. */
    async enter(
      browser: Browser,
      role: Role,
      subjectId = 'workshop',
      options: Parameters<Browser['newContext']>[0] = {},
    ): Promise<Page> {
      const link = createLink(context, { role, subjectId, actor: 'test' });
      if (!link.ok) throw new Error(`there is no ${role} ${subjectId}`);
      const page = await (await browser.newContext(options)).newPage();
      await page.goto(`${origin}/enter/${role}/${link.value.token}`);
      await page.getByRole('button', { name: 'Come in' }).click();
      return page;
    },
    async close(): Promise<void> {
      stopping.abort();
      await Promise.all([worth.stop(), planning.stop()]);
      await new Promise<void>((closed) => server.close(() => closed()));
      demo.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
export type Workplace = Awaited<ReturnType<typeof openWorkplace>>;

export const PHONE = { viewport: { width: 390, height: 844 } };
export const DESK = { viewport: { width: 1440, height: 900 } };
