/** Who may import whom. A folder without a rule fails, so that nobody has to remember. */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize } from 'node:path';
import { expect, test } from 'vitest';

type Rule = { readonly folders: readonly string[]; readonly npm: RegExp };
const NODE_ONLY = /^node:/;
const page = (name: string): Rule => ({
  folders: [
    `src/web/${name}/`,
    'src/web/shared/',
    'src/web/messages/',
    'src/usecases/',
    'src/store/',
    'src/core/',
  ],
  npm: /^(hono|zod|@hono\/zod-openapi|d3-shape|d3-scale|node:(crypto|zlib))(\/|$)/,
});

/** The first folder that fits a file rules it. */
const RULES: readonly (readonly [string, Rule])[] = [
  // Pure packages, each behind one module of ours.
  ['src/core/calendar/pickup-rule.ts', { folders: ['src/core/'], npm: /^rrule$/ }],
  ['src/core/quantity/geodesy.ts', { folders: ['src/core/'], npm: /^@turf\// }],
  ['src/core/', { folders: ['src/core/'], npm: /^$/ }],
  [
    'src/store/',
    {
      folders: ['src/store/', 'src/core/', 'db/'],
      npm: /^(drizzle-orm|better-sqlite3|zod|node:(fs|path|url|crypto))(\/|$)/,
    },
  ],
  [
    'src/travel/',
    {
      folders: ['src/travel/', 'src/core/'],
      npm: /^(node:.*|flatqueue|kdbush|saxes|@turf\/.*)$/,
    },
  ],
  [
    'src/usecases/',
    {
      folders: ['src/usecases/', 'src/store/', 'src/travel/', 'src/core/'],
      npm: /^(zod|csv-parse|csv-stringify|node:(stream|crypto|fs|path|url))(\/|$)/,
    },
  ],
  [
    'src/reactions/',
    {
      folders: ['src/reactions/', 'src/usecases/', 'src/store/', 'src/core/'],
      npm: /^$/,
    },
  ],
  // What people are told, in sentences: the words and formats of the pages.
  [
    'src/word/',
    {
      folders: ['src/word/', 'src/web/shared/', 'src/usecases/', 'src/store/', 'src/core/'],
      npm: /^zod$/,
    },
  ],
  ['src/jobs/mail-transport.ts', { folders: ['src/word/'], npm: /^(node:.*|nodemailer(\/.*)?)$/ }],
  [
    'src/jobs/keep-sending.ts',
    { folders: ['src/jobs/', 'src/word/', 'src/usecases/', 'src/store/', 'src/core/'], npm: NODE_ONLY },
  ],
  [
    'src/jobs/',
    {
      folders: ['src/jobs/', 'src/usecases/', 'src/store/', 'src/travel/', 'src/core/'],
      npm: NODE_ONLY,
    },
  ],
  // In the browser too: nothing but what the core is.
  ['src/web/messages/', { folders: ['src/web/messages/', 'src/core/'], npm: /^$/ }],
  ['src/web/coordinator/', page('coordinator')],
  ['src/web/driver/', page('driver')],
  [
    'src/web/donor/record-pdf.ts',
    { folders: ['src/web/shared/', 'src/web/messages/', 'src/usecases/'], npm: /^(pdfkit|node:url)$/ },
  ],
  ['src/web/donor/', page('donor')],
  ['src/web/api/', page('api')],
  ['src/web/feeds/', page('feeds')],
  ['src/web/live/', page('live')],
  // The run sheet on a phone: the driver's own views and markup, as the server writes them.
  [
    'src/web/client/driver',
    {
      folders: [
        'src/web/client/driver/',
        'src/web/driver/',
        'src/web/shared/',
        'src/web/messages/',
        'src/core/',
      ],
      npm: /^hono\/jsx\/dom$/,
    },
  ],
  // Runs in browsers: nothing of the server, but the pure core and the messages.
  ['src/web/client/', { folders: ['src/web/client/', 'src/web/messages/', 'src/core/'], npm: /^hono(\/|$)/ }],
  [
    'src/web/shared/',
    {
      folders: ['src/web/shared/', 'src/web/messages/', 'src/usecases/', 'src/store/', 'src/core/'],
      npm: /^(hono|zod|@hono\/zod-openapi|node:(fs|crypto|path|url)|d3-shape|d3-scale|esbuild)(\/|$)/,
    },
  ],
];
/** These wire everything together and are left alone. */
const WIRING = [
  'src/main.ts',
  'src/cli.ts',
  'src/app.ts',
  'src/app-events.ts',
  'src/app-register.ts',
  'src/app-donor.ts',
  'src/config.ts',
];
// Statements only: a page's text may hold the word "from" as well.
const IMPORTED =
  /^(?:import|export)\s[^'"]*?\bfrom\s*['"]([^'"]+)['"]|^import\s*['"]([^'"]+)['"]|\bimport\(\s*['"]([^'"]+)['"]/gm;
const IMPURE = /\bDate\.now|\bnew Date\(\)|Temporal\.Now|Math\.random|\bprocess\.|\bconsole\./;

const sources = readdirSync('src', { recursive: true, encoding: 'utf8' })
  .map((name) => join('src', name))
  .filter((file) => /\.tsx?$/.test(file) && !WIRING.includes(file) && !file.startsWith('src/cli/'));

test.each(sources)('%s imports only what its folder allows', (file) => {
  const rule = RULES.find(([folder]) => file.startsWith(folder))?.[1];
  if (!rule) throw new Error(`${file} is in a folder that no rule names`);
  expect(file, 'a barrel hides who imports whom').not.toMatch(/\/index\.tsx?$/);

  const text = readFileSync(file, 'utf8');
  for (const [, from, bare, late] of text.matchAll(IMPORTED)) {
    const target = from ?? bare ?? late ?? '';
    const path = target.startsWith('.') ? normalize(join(dirname(file), target)) : undefined;
    const allowed = path ? rule.folders.some((folder) => path.startsWith(folder)) : rule.npm.test(target);
    expect(allowed, `${file} imports ${target}`).toBe(true);
  }
  if (file.startsWith('src/core/')) expect(text).not.toMatch(IMPURE);
  // A browser's own store has transactions too.
  if (!/^src\/(usecases|store|web\/client)\//.test(file))
    expect(text, 'only a use case opens a transaction').not.toContain('.transaction(');
});
