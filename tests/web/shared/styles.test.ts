import { expect, test } from 'vitest';
import { assets, STYLESHEET_PATH, stylesheet } from '../../../src/web/shared/styles.ts';

test('the stylesheet may be kept for ever under its own version, and only there', async () => {
  const pinned = await assets().request(STYLESHEET_PATH);
  expect(pinned.headers.get('content-type')).toBe('text/css; charset=utf-8');
  expect(pinned.headers.get('cache-control')).toContain('immutable');
  expect((await pinned.text()).length).toBe(stylesheet.length);
  const stale = await assets().request('/assets/feedround.css?v=0000');
  expect(stale.headers.get('cache-control')).toBe('no-cache');
});

test('nothing is fetched from elsewhere: no font, no image, no import', () => {
  expect(stylesheet).not.toMatch(/url\(|@import|@font-face/);
});
