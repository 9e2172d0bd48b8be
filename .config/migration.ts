// npm run migration -- NAME: writes the next migration from db/schema.ts, and makes its new tables STRICT, which
// drizzle-kit cannot say itself.
import { execFileSync } from 'node:child_process';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';

const name = process.argv[2];
if (!name) throw new Error('Say what the migration does: npm run migration -- add-van-checks');
execFileSync('npx', ['drizzle-kit', 'generate', '--config=.config/drizzle.config.ts', '--name', name], {
  stdio: 'inherit',
});
const folder = new URL('../db/migrations/', import.meta.url);
for (const file of readdirSync(folder).filter((entry) => entry.endsWith('.sql'))) {
  const path = new URL(file, folder);
  const sql = readFileSync(path, 'utf8');
  const strict = sql.replace(/(CREATE TABLE[\s\S]*?\n\));/g, '$1 STRICT;');
  if (strict !== sql) writeFileSync(path, strict);
}
