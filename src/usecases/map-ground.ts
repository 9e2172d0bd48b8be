/** What lies under a map: water, districts, places and streets, from the layers that the workshop keeps in its database. */
import { z } from 'zod';
import { fromCoordinates } from '../core/quantity/geojson.ts';
import type { Position } from '../core/quantity/units.ts';
import type { Db } from '../store/db.ts';
import { listMapLayers, type MapLayer } from '../store/map-layers.ts';
import { readOsmRoads } from '../travel/osm-roads.ts';

export type Ground = {
  /** Outer ring first, then holes. */
  readonly areas: readonly {
    readonly kind: string;
    readonly name: string;
    readonly rings: readonly (readonly Position[])[];
  }[];
  /** Railways, streams, footpaths: whatever a layer calls them; streets with their class as `kind`. */
  readonly lines: readonly {
    readonly kind: string;
    readonly name: string;
    readonly line: readonly Position[];
  }[];
  readonly places: readonly { readonly kind: string; readonly name: string; readonly at: Position }[];
};

const Coordinates = z.array(z.number()).min(2);
const Line = z.array(Coordinates).min(2);
const Polygon = z.array(z.array(Coordinates).min(4)).min(1);
/** RFC 7946, section 3.1; a collection of geometries (3.1.8) is for other programs. */
const Geometry = z.discriminatedUnion('type', [
  z.looseObject({ type: z.literal('Point'), coordinates: Coordinates }),
  z.looseObject({ type: z.literal('MultiPoint'), coordinates: z.array(Coordinates) }),
  z.looseObject({ type: z.literal('LineString'), coordinates: Line }),
  z.looseObject({ type: z.literal('MultiLineString'), coordinates: z.array(Line) }),
  z.looseObject({ type: z.literal('Polygon'), coordinates: Polygon }),
  z.looseObject({ type: z.literal('MultiPolygon'), coordinates: z.array(Polygon) }),
]);
const Text = z.string().optional().catch(undefined);
const Collection = z.looseObject({
  type: z.literal('FeatureCollection'),
  features: z.array(
    z.looseObject({
      type: z.literal('Feature'),
      // A feature without a place is allowed (3.2), and nothing to draw.
      geometry: Geometry.nullable(),
      properties: z.looseObject({ name: Text, kind: Text }).nullable(),
    }),
  ),
});

/** @throws Error saying what of the text is no GeoJSON that can be drawn */
export function readGround(geojson: string): Ground {
  const parsed = Collection.safeParse(parseJson(geojson));
  if (!parsed.success) {
    const issue = parsed.error.issues[0]!;
    throw new Error(
      `no GeoJSON that can be drawn: ${issue.path.join('.') || 'top'}: ${issue.message}. Write a FeatureCollection of points, lines and polygons.`,
    );
  }
  const areas: Ground['areas'][number][] = [];
  const lines: Ground['lines'][number][] = [];
  const places: Ground['places'][number][] = [];
  for (const { geometry, properties } of parsed.data.features) {
    if (geometry === null) continue;
    const named = { kind: properties?.kind ?? '', name: properties?.name ?? '' };
    const addArea = (rings: readonly (readonly number[][])[]) =>
      areas.push({ ...named, rings: rings.map((ring) => ring.map(positionOf)) });
    switch (geometry.type) {
      case 'Point':
        places.push({ ...named, at: positionOf(geometry.coordinates) });
        break;
      case 'MultiPoint':
        for (const at of geometry.coordinates) places.push({ ...named, at: positionOf(at) });
        break;
      case 'LineString':
        lines.push({ ...named, line: geometry.coordinates.map(positionOf) });
        break;
      case 'MultiLineString':
        for (const line of geometry.coordinates) lines.push({ ...named, line: line.map(positionOf) });
        break;
      case 'Polygon':
        addArea(geometry.coordinates);
        break;
      case 'MultiPolygon':
        for (const rings of geometry.coordinates) addArea(rings);
        break;
    }
  }
  return { areas, lines, places };
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch (error) {
    throw new Error(`no JSON: ${error instanceof Error ? error.message : error}`);
  }
}

function positionOf(coordinates: readonly number[]): Position {
  const position = fromCoordinates(coordinates);
  if (position === undefined)
    throw new Error(`${coordinates.join(', ')} is no place on earth; write longitude first, then latitude.`);
  return position;
}

/** The last ground that was put together: reading a town's streets takes longer than a page may. */
let last: { readonly layers: readonly MapLayer[]; readonly ground: Ground } | undefined;

/** All layers together; empty where the workshop has none, and the map shows its sites alone. */
export function groundOf(db: Db): Ground {
  const layers = listMapLayers(db);
  const isSame =
    last?.layers.length === layers.length &&
    layers.every(
      ({ name, content }, i) => name === last!.layers[i]!.name && content === last!.layers[i]!.content,
    );
  if (!last || !isSame) last = { layers, ground: together(layers) };
  return last.ground;
}

function together(layers: readonly MapLayer[]): Ground {
  const grounds = layers.map(({ format, content }) =>
    format === 'osm-xml' ? groundOfStreets(content) : readGround(content),
  );
  return {
    areas: grounds.flatMap(({ areas }) => areas),
    lines: grounds.flatMap(({ lines }) => lines),
    places: grounds.flatMap(({ places }) => places),
  };
}

function groundOfStreets(xml: string): Ground {
  const { positions, streets } = readOsmRoads(xml);
  const lines = streets.map(({ highway, name, nodes }) => ({
    kind: highway,
    name,
    line: nodes.map((node) => positions.get(node)!),
  }));
  return { areas: [], lines, places: [] };
}
