/** Maps kept in the database itself: the roads legs are found on, and what is drawn under a round. */
import { asc, eq } from 'drizzle-orm';
import { mapLayers } from '../../db/schema.ts';
import type { Db, Tx } from './db.ts';

export type MapLayer = {
  readonly name: string;
  readonly format: 'osm-xml' | 'geojson';
  readonly content: string;
};

/** The layer that `settings.travel.kind = 'roads'` drives on. */
export const ROADS_LAYER = 'roads';

export const getMapLayer = (db: Db, name: string): MapLayer | undefined =>
  db.select().from(mapLayers).where(eq(mapLayers.name, name)).get();

export const listMapLayers = (db: Db): MapLayer[] =>
  db.select().from(mapLayers).orderBy(asc(mapLayers.name)).all();

/** Inserts or replaces. */
export function saveMapLayer(tx: Tx, layer: MapLayer): void {
  tx.insert(mapLayers).values(layer).onConflictDoUpdate({ target: mapLayers.name, set: layer }).run();
}
