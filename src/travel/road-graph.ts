/**
 * The fastest way by road between any two places: streets as a compressed-row graph, one Dijkstra run a place
 * (Dijkstra 1959) with a heap. Legs are those of the fastest way: whole seconds, and its whole metres.
 */
import FlatQueue from 'flatqueue';
import KDBush from 'kdbush';
import { greatCircleM } from '../core/quantity/geodesy.ts';
import type { Metres, Position } from '../core/quantity/units.ts';
import type { TravelTable } from '../core/routing/travel-table.ts';
import { type GreatCircleOptions, greatCircleLeg } from './great-circle.ts';
import type { RoadMap } from './osm-roads.ts';

export type RoadGraph = {
  readonly positions: readonly Position[];
  /** Arcs of node n: `first[n] .. first[n + 1]`. */
  readonly first: Int32Array;
  readonly head: Int32Array;
  readonly arcM: Float64Array;
  readonly arcS: Float64Array;
  readonly near: KDBush;
  /** Longitudes are shortened by this, so that nearness is measured in equal units both ways. */
  readonly lonScale: number;
};

export function buildRoadGraph({ positions, streets }: RoadMap): RoadGraph {
  const index = new Map<string, number>();
  const places: Position[] = [];
  const indexOf = (id: string): number => {
    const known = index.get(id);
    if (known !== undefined) return known;
    index.set(id, places.length);
    places.push(positions.get(id)!);
    return places.length - 1;
  };
  const arcs: { from: number; to: number; m: Metres; s: number }[] = [];
  for (const { nodes, speedKmh, oneway } of streets)
    for (let i = 1; i < nodes.length; i++) {
      const from = indexOf(nodes[i - 1]!);
      const to = indexOf(nodes[i]!);
      const m = greatCircleM(places[from]!, places[to]!);
      const s = (m * 3.6) / speedKmh;
      if (oneway !== 'backward') arcs.push({ from, to, m, s });
      if (oneway !== 'forward') arcs.push({ from: to, to: from, m, s });
    }
  if (places.length === 0) throw new Error('The road map has no street that a van may use.');
  arcs.sort((a, b) => a.from - b.from || a.to - b.to);
  const first = new Int32Array(places.length + 1);
  for (const arc of arcs) first[arc.from + 1]!++;
  for (let n = 0; n < places.length; n++) first[n + 1]! += first[n]!;
  const lonScale = Math.cos((places[0]!.lat * Math.PI) / 180);
  const near = new KDBush(places.length);
  for (const { lat, lon } of places) near.add(lon * lonScale, lat);
  near.finish();
  return {
    positions: places,
    first,
    head: Int32Array.from(arcs, (arc) => arc.to),
    arcM: Float64Array.from(arcs, (arc) => arc.m),
    arcS: Float64Array.from(arcs, (arc) => arc.s),
    near,
    lonScale,
  };
}

export type RoadTable = {
  readonly table: TravelTable;
  /** Places (by row) further than `MAX_OFF_ROAD_M` from any street: their legs are estimated, not driven. */
  readonly offRoad: readonly number[];
};

/** A yard or a car park may lie back from the street; further away the map does not cover the place. */
const MAX_OFF_ROAD_M: Metres = 600;
/** From the street to the door and back to the street: walking pace of a van in a yard. */
const YARD_KMH = 10;

/** Legs by road; where a place is off the map or cannot be reached, great circle × detour instead. */
export function roadTable(
  graph: RoadGraph,
  positions: readonly Position[],
  otherwise: GreatCircleOptions,
): RoadTable {
  const places = positions.length;
  const legM = new Int32Array(places * places);
  const legS = new Int32Array(places * places);
  const access = positions.map((position) => nearestNode(graph, position));
  const offRoad = access.flatMap(({ metres }, i) => (metres > MAX_OFF_ROAD_M ? [i] : []));
  const isOff = new Set(offRoad);
  for (let i = 0; i < places; i++) {
    const reached = isOff.has(i) ? undefined : fastestFrom(graph, access[i]!.node);
    for (let j = 0; j < places; j++) {
      if (i === j) continue;
      const node = access[j]!.node;
      const seconds = isOff.has(j)
        ? Number.POSITIVE_INFINITY
        : (reached?.seconds[node] ?? Number.POSITIVE_INFINITY);
      const entry = i * places + j;
      if (reached === undefined || seconds === Number.POSITIVE_INFINITY) {
        const leg = greatCircleLeg(positions[i]!, positions[j]!, otherwise);
        legM[entry] = leg.metres;
        legS[entry] = leg.seconds;
      } else {
        const yardM = access[i]!.metres + access[j]!.metres;
        legM[entry] = Math.round(reached.metres[node]! + yardM);
        legS[entry] = Math.round(seconds + (yardM * 3.6) / YARD_KMH);
      }
    }
  }
  return { table: { places, legM, legS }, offRoad };
}

function nearestNode({ near, lonScale, positions }: RoadGraph, position: Position) {
  const x = position.lon * lonScale;
  let best = { node: -1, metres: Number.POSITIVE_INFINITY };
  for (let reach = 0.002; best.node < 0 && reach < 720; reach *= 4)
    for (const node of near.within(x, position.lat, reach)) {
      const metres = greatCircleM(position, positions[node]!);
      if (metres < best.metres || (metres === best.metres && node < best.node)) best = { node, metres };
    }
  return best;
}

/** One-to-all fastest ways. */
function fastestFrom({ first, head, arcM, arcS }: RoadGraph, source: number) {
  const nodes = first.length - 1;
  const seconds = new Float64Array(nodes).fill(Number.POSITIVE_INFINITY);
  const metres = new Float64Array(nodes);
  const isSettled = new Uint8Array(nodes);
  const queue = new FlatQueue<number>();
  seconds[source] = 0;
  queue.push(source, 0);
  while (queue.length > 0) {
    const node = queue.pop()!;
    if (isSettled[node]) continue;
    isSettled[node] = 1;
    for (let arc = first[node]!; arc < first[node + 1]!; arc++) {
      const to = head[arc]!;
      const time = seconds[node]! + arcS[arc]!;
      if (time < seconds[to]!) {
        seconds[to] = time;
        metres[to] = metres[node]! + arcM[arc]!;
        queue.push(to, time);
      }
    }
  }
  return { seconds, metres };
}
