/** GET /search?q=: one box for everything that has a name or a date. */
import { Hono } from 'hono';
import type { SessionEnv } from '../../shared/session.ts';
import { SearchPage } from './search-page.tsx';
import type { SearchView } from './search-view.ts';

export type SearchDeps = { readSearch(text: string): SearchView };

/** A longer text names nothing. */
const MOST_LETTERS = 100;

export const searchPages = (deps: SearchDeps): Hono<SessionEnv> =>
  new Hono<SessionEnv>().get('/search', (c) => {
    const text = (c.req.query('q') ?? '').trim().slice(0, MOST_LETTERS);
    return c.html(<SearchPage view={deps.readSearch(text)} />);
  });
