/** npm run bench NAME -- …: runs one benchmark; none is part of the tests. */
import { existsSync, readdirSync } from 'node:fs';

const [name = '', ...rest] = process.argv.slice(2);
const folder = new URL('./', import.meta.url);
const file = new URL(`./${name}.ts`, folder);
const known = readdirSync(folder)
  .filter(
    (entry) =>
      entry.endsWith('.ts') && !['run.ts', 'instances.ts', 'made-up.ts', 'all-knowing.ts'].includes(entry),
  )
  .map((entry) => entry.slice(0, -3));
if (!known.includes(name) || !existsSync(file)) {
  console.error(`Which benchmark? ${known.join(', ')}.`);
  process.exit(2);
}
// Each benchmark reads its own words.
process.argv.splice(2, process.argv.length - 2, ...rest.filter((word, i) => !(i === 0 && word === '--')));
await import(file.href);
