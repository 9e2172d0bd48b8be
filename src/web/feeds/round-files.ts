/** A round to take along: GPX for a navigation program, GeoJSON for a map. */
import { type Context, Hono } from 'hono';
import { refusePage } from '../shared/html-error.tsx';
import { idParam } from '../shared/ids.ts';
import type { SessionEnv } from '../shared/session.ts';
import { GPX_TYPE, writeGpx } from './gpx.ts';
import type { RoundFile } from './round-file.ts';
import { GEOJSON_TYPE, roundGeoJson } from './round-geojson.ts';

export type RoundFileDeps = {
  /** With a driver, only rounds of this driver. */
  readRoundFile(roundId: string, driverId?: string): RoundFile | undefined;
};

export const roundFiles = (deps: RoundFileDeps): Hono<SessionEnv> => {
  const answer = (c: Context<SessionEnv>, kind: 'gpx' | 'geojson', driverId?: string) => {
    const id = idParam(c);
    const file = id === undefined ? undefined : deps.readRoundFile(id, driverId);
    if (!file)
      return refusePage(c, 'no-such-round', { role: driverId === undefined ? 'coordinator' : 'driver' });
    c.header('Content-Disposition', `attachment; filename="round-${file.day}.${kind}"`);
    return kind === 'gpx'
      ? c.body(writeGpx(file), 200, { 'Content-Type': GPX_TYPE })
      : c.body(JSON.stringify(roundGeoJson(file)), 200, { 'Content-Type': GEOJSON_TYPE });
  };
  return new Hono<SessionEnv>()
    .get('/rounds/:id/round.gpx', (c) => answer(c, 'gpx'))
    .get('/rounds/:id/round.geojson', (c) => answer(c, 'geojson'))
    .get('/driver/rounds/:id/round.gpx', (c) => answer(c, 'gpx', c.var.session.subjectId))
    .get('/driver/rounds/:id/round.geojson', (c) => answer(c, 'geojson', c.var.session.subjectId));
};
