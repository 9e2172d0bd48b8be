// Node strips types from .ts by itself; this turns the .tsx pages into JavaScript as they are loaded, so that
// the project needs no build step.
import { readFileSync } from 'node:fs';
import { registerHooks } from 'node:module';
import { fileURLToPath } from 'node:url';
import { transformSync } from 'oxc-transform';

registerHooks({
  load(url, context, nextLoad) {
    if (!url.endsWith('.tsx')) return nextLoad(url, context);
    const path = fileURLToPath(url);
    const { code, errors } = transformSync(path, readFileSync(path, 'utf8'), {
      jsx: { runtime: 'automatic', importSource: 'hono/jsx' },
    });
    if (errors.length > 0) throw new SyntaxError(`${path}: ${errors.map((e) => e.message).join('; ')}`);
    return { format: 'module', source: code, shortCircuit: true };
  },
});
