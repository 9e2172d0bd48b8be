/**
 * Reads drivable streets from OpenStreetMap XML (nodes, ways, tags) into directed segments. Only what a van may
 * use: a `highway` that is a road, without `access`, `vehicle` or `motor_vehicle` set to `no` or `private`.
 */
import { SaxesParser } from 'saxes';
import type { Position } from '../core/quantity/units.ts';

/** Mean speeds where no maxspeed is given, km/h: own judgement for a small town, junctions included. */
const SPEED_KMH: { readonly [highway: string]: number } = {
  motorway: 100,
  trunk: 70,
  primary: 45,
  secondary: 40,
  tertiary: 35,
  unclassified: 30,
  residential: 25,
  living_street: 10,
  service: 15,
};
/** A limit is not a mean: junctions and traffic take a part of it. Own judgement. */
const SHARE_OF_LIMIT = 0.8;
const KM_PER_MILE = 1.609344;
const LINK = /_link$/;

export type Street = {
  readonly name: string;
  readonly highway: string;
  readonly speedKmh: number;
  /** Node ids in the order of the way; both directions unless `oneway`. */
  readonly nodes: readonly string[];
  readonly oneway: 'no' | 'forward' | 'backward';
};

export type RoadMap = {
  readonly positions: ReadonlyMap<string, Position>;
  readonly streets: readonly Street[];
};

/** @throws Error naming line and column when the text is not XML, or when a way names an unknown node */
export function readOsmRoads(xml: string): RoadMap {
  const positions = new Map<string, Position>();
  const streets: Street[] = [];
  let way: { nodes: string[]; tags: Map<string, string> } | undefined;
  const parser = new SaxesParser();
  parser.on('opentag', ({ name, attributes }) => {
    const at = attributes as { readonly [key: string]: string | undefined };
    if (name === 'node') positions.set(at['id'] ?? '', { lat: Number(at['lat']), lon: Number(at['lon']) });
    else if (name === 'way') way = { nodes: [], tags: new Map() };
    else if (name === 'nd') way?.nodes.push(at['ref'] ?? '');
    else if (name === 'tag') way?.tags.set(at['k'] ?? '', at['v'] ?? '');
  });
  parser.on('closetag', ({ name }) => {
    if (name !== 'way' || !way) return;
    const street = streetOf(way.nodes, way.tags);
    if (street) streets.push(street);
    way = undefined;
  });
  parser.on('error', (error) => {
    throw new Error(`The road map cannot be read: ${error.message}`);
  });
  parser.write(xml).close();
  for (const street of streets)
    for (const node of street.nodes)
      if (!positions.has(node))
        throw new Error(
          `The road map is incomplete: a way ("${street.name}") uses node ${node}, which is not in it.`,
        );
  return { positions, streets };
}

function streetOf(nodes: readonly string[], tags: ReadonlyMap<string, string>): Street | undefined {
  const highway = tags.get('highway')?.replace(LINK, '');
  const usual = highway === undefined ? undefined : SPEED_KMH[highway];
  const isShut = ['access', 'vehicle', 'motor_vehicle'].some((key) =>
    ['no', 'private'].includes(tags.get(key) ?? ''),
  );
  if (highway === undefined || usual === undefined || isShut || nodes.length < 2) return undefined;
  const limit = Number.parseFloat(tags.get('maxspeed') ?? '');
  const kmh = /mph/.test(tags.get('maxspeed') ?? '') ? limit * KM_PER_MILE : limit;
  // A roundabout is one-way unless it says otherwise.
  const oneway = tags.get('oneway') ?? (tags.get('junction') === 'roundabout' ? 'yes' : 'no');
  return {
    name: tags.get('name') ?? '',
    highway,
    speedKmh: Number.isFinite(kmh) && kmh > 0 ? Math.min(usual, kmh * SHARE_OF_LIMIT) : usual,
    nodes,
    oneway: oneway === '-1' ? 'backward' : oneway === 'yes' || oneway === '1' ? 'forward' : 'no',
  };
}
