/**
 * One stylesheet for all pages, made of the files in `css/` in the order of their names, and served under a
 * name that holds a hash of its content: a browser may keep it for ever, and a new version is a new address.
 * Pages carry no inline style, so the content security policy can forbid them.
 */
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { Hono } from 'hono';
import { paletteCss } from './palette.ts';

const folder = new URL('./css/', import.meta.url);
const YEAR_S = 31_536_000;

export const stylesheet: string =
  paletteCss +
  readdirSync(folder)
    .filter((name) => name.endsWith('.css'))
    .sort()
    .map((name) => readFileSync(new URL(name, folder), 'utf8'))
    .join('\n');

const version = createHash('sha256').update(stylesheet).digest('hex').slice(0, 12);
export const STYLESHEET_PATH: string = `/assets/feedround.css?v=${version}`;

/** Our mark: a round drawn as a ring of film with one stop on it. */
const MARK = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32"><path d="M16 4a12 12 0 1 1-8.5 3.5" fill="none" stroke="#0b6f66" stroke-width="5"/><circle cx="16" cy="4.5" r="4" fill="#b01240"/></svg>`;

/** GET /assets/*: open to all, nothing in it is about anyone. */
export const assets = (): Hono =>
  new Hono()
    .get('/assets/feedround.css', (c) => {
      const pinned = c.req.query('v') === version;
      c.header('Cache-Control', pinned ? `public, max-age=${YEAR_S}, immutable` : 'no-cache');
      c.header('Content-Type', 'text/css; charset=utf-8');
      return c.body(stylesheet);
    })
    .get('/assets/mark.svg', (c) => {
      c.header('Cache-Control', `public, max-age=${YEAR_S}`);
      c.header('Content-Type', 'image/svg+xml');
      return c.body(MARK);
    });
