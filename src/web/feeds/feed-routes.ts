/** Addresses for other programs: a calendar behind its private address. No session is needed, the address is the key. */
import { Hono } from 'hono';
import { etag } from 'hono/etag';
import { refusePage } from '../shared/html-error.tsx';
import { type Calendar, ICALENDAR_TYPE, writeCalendar } from './icalendar.ts';

export type FeedDeps = {
  /** What the key opens now; nothing when it is unknown, withdrawn or over. */
  readCalendar(token: string): Calendar | undefined;
};

const CALENDAR_FILE = /^([A-Za-z0-9_-]{22,128})\.ics$/;

export const feedRoutes = (deps: FeedDeps): Hono =>
  new Hono().get('/feeds/calendar/:file', etag(), (c) => {
    const token = CALENDAR_FILE.exec(c.req.param('file'))?.[1];
    const calendar = token === undefined ? undefined : deps.readCalendar(token);
    c.header('X-Robots-Tag', 'noindex, nofollow');
    if (!calendar)
      return refusePage(c, 'no-such-link', {
        detail:
          'This calendar’s address is mistyped, was withdrawn or has ended. Ask the workshop for a new one.',
      });
    // Kept by the one program it is for, and asked for again each time: the tag makes that cheap.
    c.header('Cache-Control', 'private, no-cache');
    c.header('Content-Disposition', 'inline; filename="feedround.ics"');
    return c.body(writeCalendar(calendar), 200, { 'Content-Type': ICALENDAR_TYPE });
  });
