/** Writes the demo town's files beside itself: `npx node geo-fixtures/generate.ts`. Same bytes every time. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { demoFiles } from './generator/files.ts';

mkdirSync(new URL('./town/', import.meta.url), { recursive: true });
for (const [name, text] of demoFiles()) {
  writeFileSync(new URL(name, import.meta.url), text);
  console.log(`${name}: ${text.length} characters`);
}
