/**
 * The scripts that browsers run, bundled from `src/web/client` when the first page needs them and kept in memory: there is no build
 * step and nothing on disk. Every file directly in that folder is an entry that a page may load by its name; what lies
 * in its subfolders is imported by entries. Addresses hold a hash of the content, so a browser may keep them for ever.
 */
import { readdirSync } from 'node:fs';
import { basename, extname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { buildSync } from 'esbuild';
import { Hono } from 'hono';

const folder = fileURLToPath(new URL('../client/', import.meta.url));
const PLACE = '/assets/client/';
const YEAR_S = 31_536_000;

type Bundle = {
  /** From an entry's name to its address. */
  readonly paths: ReadonlyMap<string, string>;
  /** From an entry's name to the addresses of everything that it loads, itself first. */
  readonly files: ReadonlyMap<string, readonly string[]>;
  /** From the last part of an address to the script. */
  readonly scripts: ReadonlyMap<string, string>;
};

let made: Bundle | undefined;

/** The address of an entry: `clientScript('forms')` → `/assets/client/forms-8F3K2A7Q.js`. Throws on an unknown name. */
export function clientScript(name: string): string {
  made ??= bundle();
  const path = made.paths.get(name);
  if (path === undefined) throw new Error(`there is no client script "${name}" in src/web/client`);
  return path;
}

/** The content of an entry, for a script that must be served under an address of its own. */
export function clientSource(name: string): string {
  const path = clientScript(name);
  return made!.scripts.get(path.slice(PLACE.length))!;
}

/** The addresses of an entry and of all parts that it loads, for whoever keeps them away from the network. */
export function clientFiles(name: string): readonly string[] {
  clientScript(name);
  return made!.files.get(name)!;
}

function bundle(): Bundle {
  const entries = readdirSync(folder, { withFileTypes: true })
    .filter((file) => file.isFile() && /\.tsx?$/.test(file.name))
    .map((file) => `${folder}${file.name}`);
  const { outputFiles, metafile } = buildSync({
    entryPoints: entries,
    absWorkingDir: folder,
    outdir: folder,
    entryNames: '[name]-[hash]',
    chunkNames: 'part-[hash]',
    bundle: true,
    splitting: true,
    minify: true,
    metafile: true,
    write: false,
    format: 'esm',
    // Browsers of the last three years; older ones get the pages without scripts.
    target: ['es2022'],
    // The jsxImportSource of tsconfig.json would win over anything said in a file.
    tsconfigRaw: { compilerOptions: { jsx: 'react-jsx', jsxImportSource: 'hono/jsx/dom' } },
    logLevel: 'silent',
  });
  const paths = new Map<string, string>();
  const files = new Map<string, readonly string[]>();
  const withParts = (out: string): string[] => [
    out,
    ...(metafile.outputs[out]?.imports ?? []).flatMap(({ path }) => withParts(path)),
  ];
  for (const [out, { entryPoint }] of Object.entries(metafile.outputs)) {
    if (!entryPoint) continue;
    const name = basename(entryPoint, extname(entryPoint));
    paths.set(name, `${PLACE}${basename(out)}`);
    files.set(
      name,
      [...new Set(withParts(out))].map((file) => `${PLACE}${basename(file)}`),
    );
  }
  return { paths, files, scripts: new Map(outputFiles.map((file) => [basename(file.path), file.text])) };
}

/** GET /assets/client/*: open to all, nothing in it is about anyone. */
export const clientScripts = (): Hono =>
  new Hono().get(`${PLACE}:file`, (c) => {
    made ??= bundle();
    const script = made.scripts.get(c.req.param('file'));
    if (script === undefined) return c.notFound();
    c.header('Cache-Control', `public, max-age=${YEAR_S}, immutable`);
    c.header('Content-Type', 'text/javascript; charset=utf-8');
    return c.body(script);
  });
