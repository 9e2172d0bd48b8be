// Node strips types from .ts by itself; this turns the .tsx pages into JavaScript as they are loaded, so that
// the project needs no build step. Plain JavaScript does it: no binary that a platform might lack.
import { readFileSync } from 'node:fs';
import { registerHooks } from 'node:module';
import { fileURLToPath } from 'node:url';
import { transform } from 'sucrase';

registerHooks({
  load(url, context, nextLoad) {
    if (!url.endsWith('.tsx')) return nextLoad(url, context);
    const filePath = fileURLToPath(url);
    const { code } = transform(readFileSync(filePath, 'utf8'), {
      filePath,
      transforms: ['typescript', 'jsx'],
      jsxRuntime: 'automatic',
      jsxImportSource: 'hono/jsx',
      production: true,
      disableESTransforms: true,
    });
    return { format: 'module', source: code, shortCircuit: true };
  },
});
