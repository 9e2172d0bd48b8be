import { gzipSync } from 'node:zlib';
import { expect, test } from 'vitest';
import { clientScript, clientScripts, clientSource } from '../../../src/web/shared/client-bundle.ts';

test('a script may be kept for ever: its address changes with its content', async () => {
  const path = clientScript('forms');
  expect(path).toMatch(/^\/assets\/client\/forms-[A-Z0-9]{8}\.js$/);
  const answer = await clientScripts().request(path);
  expect(answer.headers.get('content-type')).toBe('text/javascript; charset=utf-8');
  expect(answer.headers.get('cache-control')).toContain('immutable');
  expect(await answer.text()).toBe(clientSource('forms'));
});

test('an address that was never made is not found, and a name that nobody wrote is a fault of ours', async () => {
  expect((await clientScripts().request('/assets/client/forms-00000000.js')).status).toBe(404);
  expect(() => clientScript('nothing-of-the-kind')).toThrow('there is no client script');
});

test('what every page loads is small', () => {
  expect(gzipSync(clientSource('forms')).length).toBeLessThan(1_000);
});
