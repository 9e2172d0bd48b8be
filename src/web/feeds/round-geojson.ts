/** A round as GeoJSON (RFC 7946): a point a stop, one line for the way, a box around all. */
import { boundingBox, toCoordinates } from '../../core/quantity/geojson.ts';
import type { Instant } from '../../core/quantity/units.ts';
import type { RoundFile, RoundPoint } from './round-file.ts';

export const GEOJSON_TYPE = 'application/geo+json';

export function roundGeoJson({ roundId, name, day, distanceM, points, way }: RoundFile) {
  const places = points.map(({ position }) => position);
  return {
    type: 'FeatureCollection' as const,
    bbox: boundingBox([...places, ...way]),
    features: [
      ...points.map((point, i) => stopFeature(point, i)),
      // A line needs two positions (3.1.4): a round whose places all coincide has none.
      ...(way.length < 2
        ? []
        : [
            {
              type: 'Feature' as const,
              id: roundId,
              geometry: { type: 'LineString' as const, coordinates: way.map(toCoordinates) },
              properties: { kind: 'way', name, day, distanceM },
            },
          ]),
    ],
  };
}

const stopFeature = (point: RoundPoint, i: number) => ({
  type: 'Feature' as const,
  geometry: { type: 'Point' as const, coordinates: toCoordinates(point.position) },
  properties: {
    kind: point.kind,
    position: i,
    name: point.name,
    address: point.address,
    arrive: iso(point.arriveAt),
    depart: iso(point.departAt),
    ...(point.kind === 'site'
      ? {
          expectedKg: tenth(point.expectedKg),
          lowKg: tenth(point.lowKg),
          highKg: tenth(point.highKg),
          expectedL: Math.round(point.expectedL),
        }
      : {}),
  },
});

const tenth = (kg: number): number => Math.round(kg * 10) / 10;
const iso = (at: Instant): string => new Date(at * 1000).toISOString().replace('.000Z', 'Z');
