/**
 * What a phone needs to go on without a network: the sheet as data, the time and who is signed in, an empty page that a
 * script fills, the service worker with the list of what it keeps, and what makes the sheet an application on the phone.
 */
import { createHash } from 'node:crypto';
import { Hono } from 'hono';
import type { Instant } from '../../core/quantity/units.ts';
import { clientFiles, clientSource } from '../shared/client-bundle.ts';
import { Page } from '../shared/page.tsx';
import type { SessionEnv } from '../shared/session.ts';
import { sayOf } from '../shared/speak.ts';
import { STYLESHEET_PATH } from '../shared/styles.ts';
import { ICON_SIZES, iconPng } from './icon.ts';
import type { RunView } from './run-view.ts';
import type { SentSheet } from './sent-sheet.ts';

export type PhoneDeps = {
  now(): Instant;
  readRun(driverId: string, nowAt: Instant): RunView;
  readSurroundings(): Pick<SentSheet, 'grades' | 'sites'>;
};

const FRAME = { role: 'driver', here: '/driver', scripts: ['driver-sheet'] } as const;
const SHELL = '/driver/shell';
const MANIFEST = '/driver.webmanifest';
const iconPath = (size: number): string => `/assets/driver-${size}.png`;
const YEAR_S = 31_536_000;

/** What a phone keeps from the first visit on. Names hold a hash of the content, but for the few that are told here. */
const keptFiles = (): readonly string[] => [
  SHELL,
  STYLESHEET_PATH,
  '/assets/mark.svg',
  MANIFEST,
  ...ICON_SIZES.map(iconPath),
  ...clientFiles('forms'),
  ...clientFiles('live'),
  ...clientFiles('driver-sheet'),
];

/** The worker's own bytes hold the list, so that a browser finds a new version by them. */
function worker(): string {
  const files = keptFiles();
  const source = clientSource('driver-worker');
  const version = createHash('sha256').update(files.join()).update(source).digest('hex').slice(0, 12);
  return `self.KEPT=${JSON.stringify({ version, shell: SHELL, files })};${source}`;
}

export const phoneRoutes = (deps: PhoneDeps): Hono<SessionEnv> =>
  new Hono<SessionEnv>()
    .get('/driver/run.json', (c) => {
      const driverId = c.var.session.subjectId;
      const run = deps.readRun(driverId, deps.now());
      const { language } = sayOf(c);
      return c.json({ driverId, language, run, ...deps.readSurroundings() } satisfies SentSheet);
    })
    .get('/driver/clock.json', (c) => c.json({ driverId: c.var.session.subjectId, nowAt: deps.now() }))
    .get(SHELL, (c) => {
      const say = sayOf(c);
      return c.html(
        <Page
          title={say.frame.navigation.driver}
          say={say}
          languagePath="/driver"
          live={{ how: 'script' }}
          {...FRAME}
        >
          <p class="lead" data-sheet>
            {say.sheet.opening}
          </p>
        </Page>,
      );
    })
    .get('/driver-worker.js', (c) => {
      c.header('Content-Type', 'text/javascript; charset=utf-8');
      c.header('Cache-Control', 'no-cache');
      return c.body(worker());
    })
    .get(MANIFEST, (c) => {
      const say = sayOf(c);
      c.header('Content-Type', 'application/manifest+json');
      c.header('Cache-Control', 'no-cache');
      return c.body(
        JSON.stringify({
          id: '/driver',
          name: `Feedround: ${say.frame.navigation.driver}`,
          short_name: say.frame.navigation.driver,
          lang: say.language,
          start_url: '/driver',
          scope: '/driver',
          display: 'standalone',
          background_color: '#f7f8f5',
          theme_color: '#f7f8f5',
          icons: [
            { src: '/assets/mark.svg', sizes: 'any', type: 'image/svg+xml' },
            ...ICON_SIZES.map((size) => ({
              src: iconPath(size),
              sizes: `${size}x${size}`,
              type: 'image/png',
              purpose: 'any maskable',
            })),
          ],
        }),
      );
    })
    .get('/assets/:icon{driver-[0-9]+\\.png}', (c) => {
      const size = Number(/\d+/.exec(c.req.param('icon'))?.[0]);
      if (!ICON_SIZES.includes(size)) return c.notFound();
      c.header('Content-Type', 'image/png');
      c.header('Cache-Control', `public, max-age=${YEAR_S}`);
      return c.body(iconPng(size));
    });
