// After drizzle-kit has written a migration: makes each new table STRICT, which drizzle-kit cannot say itself.
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';

const folder = new URL('../db/migrations/', import.meta.url);
for (const name of readdirSync(folder).filter((n) => n.endsWith('.sql'))) {
  const file = new URL(name, folder);
  const sql = readFileSync(file, 'utf8');
  const strict = sql.replace(/(CREATE TABLE[\s\S]*?\n\));/g, '$1 STRICT;');
  if (strict !== sql) writeFileSync(file, strict);
}
