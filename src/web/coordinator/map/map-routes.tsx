/** GET /map: the rounds of a day on the ground. */
import { Hono } from 'hono';
import { isDay } from '../../../core/calendar/zone.ts';
import type { LocalDay } from '../../../core/quantity/units.ts';
import { refusePage } from '../../shared/html-error.tsx';
import type { SessionEnv } from '../../shared/session.ts';
import { MapPage } from './map-page.tsx';
import type { DayMapView } from './map-view.ts';

export type MapDeps = {
  /** The plan with this id, or the one people look at; nothing for an id that does not exist. */
  readDayMap(asked: {
    readonly day?: LocalDay | undefined;
    readonly planId?: string | undefined;
  }): DayMapView | undefined;
};

const BACK = { path: '/map', label: 'To the map of today' };

export const mapPages = (deps: MapDeps): Hono<SessionEnv> =>
  new Hono<SessionEnv>().get('/map', (c) => {
    const day = c.req.query('day');
    if (day !== undefined && !isDay(day))
      return refusePage(c, 'invalid-query', {
        detail: `"${day.slice(0, 40)}" is no day; write one such as 2026-06-15.`,
        role: 'coordinator',
        back: BACK,
      });
    const view = deps.readDayMap({ day, planId: c.req.query('plan') });
    return view
      ? c.html(<MapPage view={view} />)
      : refusePage(c, 'no-such-plan', { role: 'coordinator', back: BACK });
  });
