/** The documents held to the code: what they promise is there, and what is there they name. */
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { COMMANDS } from '../src/cli.ts';
import { TABLE_KINDS } from '../src/usecases/tables/columns.ts';
import { PROBLEMS } from '../src/web/shared/problem.ts';

const readme = readFileSync('README.md', 'utf8');
const guide = readFileSync('DEVELOPERS.md', 'utf8');
const scripts: { readonly [name: string]: string } = JSON.parse(readFileSync('package.json', 'utf8')).scripts;

describe('README.md', () => {
  test('opens with one paragraph that states the job', () => {
    const [paragraph = ''] = readme.split('\n\n');
    expect(paragraph).toMatch(/^Feedround plans the collection/);
    expect(paragraph.split('\n').every((line) => line !== '' && !line.startsWith('#'))).toBe(true);
  });

  test('gives the two commands, and both exist', () => {
    expect(readme).toContain('npm ci && npm run demo');
    expect(readme).toContain('npm ci && npm test');
    expect(scripts).toHaveProperty('demo');
    expect(scripts).toHaveProperty('test');
  });

  test('lists every command and no other', () => {
    const listed = [...readme.matchAll(/^\| `feedround ([a-z-]+)` \|/gm)].map(([, name]) => name);
    expect(listed.sort()).toEqual(COMMANDS.map((command) => command.name).sort());
  });

  test('names every table that can be imported', () => {
    for (const kind of TABLE_KINDS) expect(readme).toContain(kind);
  });

  test('names every variable that is read from the environment', () => {
    const variables = [...readFileSync('src/config.ts', 'utf8').matchAll(/FEEDROUND_[A-Z_]+/g)].map(
      ([name]) => name,
    );
    expect(variables.length).toBeGreaterThan(3);
    for (const name of new Set(variables)) expect(readme).toContain(`\`${name}\``);
  });

  test('shows a picture that is there', () => {
    const [, picture = ''] = /!\[[^\]]*\]\(([^)]+)\)/.exec(readme) ?? [];
    expect(existsSync(picture)).toBe(true);
  });
});

describe('DEVELOPERS.md', () => {
  test.each(Object.entries(PROBLEMS))('documents the problem %s with its status', (slug, { status }) => {
    expect(guide).toMatch(new RegExp(`^\\| \`${slug}\` \\| ${status} \\|`, 'm'));
  });

  test('names every npm script', () => {
    for (const name of Object.keys(scripts)) expect(guide, name).toMatch(new RegExp(`npm (run )?${name}\\b`));
  });

  test('mentions no file of ours that is not there', () => {
    const paths = [
      ...guide.matchAll(/`((?:src|db|tests|core|usecases|jobs|web|store|routing|planning|cli)\/[\w./-]+?)`/g),
    ].map(([, path]) => path!);
    expect(paths.length).toBeGreaterThan(15);
    for (const path of paths) {
      const there = [path, `src/${path}`, `src/core/${path}`].some(
        (one) => existsSync(one) || existsSync(`${one}.ts`),
      );
      expect(there, path).toBe(true);
    }
  });

  test('defines every word of the glossary once, and its words are the code’s', () => {
    const words = [...guide.matchAll(/^\| ([a-z, ]+) \| [^|]+ \|$/gm)].map(([, word]) => word!);
    expect(new Set(words).size).toBe(words.length);
    for (const word of [
      'site',
      'pickup rule',
      'surge',
      'booking',
      'weigh-in',
      'fill',
      'round',
      'stop',
      'plan',
      'run sheet',
    ])
      expect(guide).toMatch(new RegExp(`^\\| ${word} \\|`, 'm'));
    const schema = readFileSync('db/schema.ts', 'utf8');
    for (const table of [
      'sites',
      'containers',
      'pickup_rules',
      'surges',
      'bookings',
      'weigh_ins',
      'load_weigh_ins',
      'vans',
      'shifts',
      'plans',
      'rounds',
      'stops',
      'journal',
    ])
      expect(schema).toContain(`'${table}'`);
  });
});

test('the top level holds what was agreed and nothing else', async () => {
  const { execFileSync } = await import('node:child_process');
  const tracked = execFileSync('git', ['ls-files'], { encoding: 'utf8' }).split('\n').filter(Boolean);
  const top = new Set(tracked.map((path) => path.split('/')[0]!).filter((name) => !name.startsWith('.')));
  const agreed = [
    'package.json',
    'package-lock.json',
    'tsconfig.json',
    'src',
    'db',
    'tests',
    'geo-fixtures',
    'README.md',
    'DEVELOPERS.md',
    'LICENSE',
  ];
  expect([...top].filter((name) => !agreed.includes(name))).toEqual([]);
});
