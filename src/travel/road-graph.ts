/**
 * The fastest way by road between any two places: streets as a compressed-row graph, one Dijkstra run a place
 * (Dijkstra 1959) with a heap. Legs are those of the fastest way: whole seconds, and its whole metres.
 *
 * Inside, arcs are whole centimetres and milliseconds: sums are exact, so a way there and its way back take the
 * same time where streets are two-way, and of two equally fast ways the shorter is taken on every machine.
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
  readonly arcCm: Int32Array;
  readonly arcMs: Int32Array;
  readonly near: KDBush;
  /** Longitudes are shortened by this, so that nearness is measured in equal units both ways. */
  readonly lonScale: number;
};

/** A place joins the nearest node, so long stretches get nodes in between. */
const MAX_ARC_M: Metres = 60;

const between = (a: Position, b: Position, t: number): Position => ({
  lat: a.lat + (b.lat - a.lat) * t,
  lon: a.lon + (b.lon - a.lon) * t,
});

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
  const arcs: { from: number; to: number; cm: number; ms: number }[] = [];
  for (const { nodes, speedKmh, oneway } of streets)
    for (let i = 1; i < nodes.length; i++) {
      const end = indexOf(nodes[i]!);
      let from = indexOf(nodes[i - 1]!);
      const start = places[from]!;
      const pieces = Math.max(1, Math.ceil(greatCircleM(start, places[end]!) / MAX_ARC_M));
      for (let piece = 1; piece <= pieces; piece++) {
        const to = piece === pieces ? end : places.push(between(start, places[end]!, piece / pieces)) - 1;
        const m = greatCircleM(places[from]!, places[to]!);
        const cm = Math.round(m * 100);
        const ms = Math.max(1, Math.round((m * 3600) / speedKmh));
        if (oneway !== 'backward') arcs.push({ from, to, cm, ms });
        if (oneway !== 'forward') arcs.push({ from: to, to: from, cm, ms });
        from = to;
      }
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
    arcCm: Int32Array.from(arcs, (arc) => arc.cm),
    arcMs: Int32Array.from(arcs, (arc) => arc.ms),
    near,
    lonScale,
  };
}

export type RoadTable = {
  readonly table: TravelTable;
  /** Places (by row) further than `MAX_OFF_ROAD_M` from any street: their legs are estimated, not driven. */
  readonly offRoad: readonly number[];
  /** Pairs that no street joins (an island, one-way streets only in or out): estimated as well. */
  readonly unreachable: readonly (readonly [from: number, to: number])[];
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
  const unreachable: (readonly [number, number])[] = [];
  for (let i = 0; i < places; i++) {
    const reached = isOff.has(i) ? undefined : fastestFrom(graph, access[i]!.node);
    for (let j = 0; j < places; j++) {
      if (i === j) continue;
      const node = access[j]!.node;
      const isReached = reached !== undefined && !isOff.has(j) && reached.ms[node]! < NEVER;
      if (!isReached && !isOff.has(i) && !isOff.has(j)) unreachable.push([i, j]);
      const entry = i * places + j;
      if (!isReached) {
        const leg = greatCircleLeg(positions[i]!, positions[j]!, otherwise);
        legM[entry] = leg.metres;
        legS[entry] = leg.seconds;
      } else {
        const yardM = access[i]!.metres + access[j]!.metres;
        legM[entry] = Math.round(reached.cm[node]! / 100 + yardM);
        legS[entry] = Math.round(reached.ms[node]! / 1000 + (yardM * 3.6) / YARD_KMH);
      }
    }
  }
  return { table: { places, legM, legS }, offRoad, unreachable };
}

/** The line to draw for a leg, both ends included; a straight line where no street joins them. */
export function roadPath(graph: RoadGraph, from: Position, to: Position): Position[] {
  const start = nearestNode(graph, from);
  const end = nearestNode(graph, to);
  if (Math.max(start.metres, end.metres) > MAX_OFF_ROAD_M) return [from, to];
  const { cameFrom } = fastestFrom(graph, start.node, end.node);
  const nodes: number[] = [];
  for (let node = end.node; node >= 0; node = cameFrom[node]!) nodes.push(node);
  if (nodes.at(-1) !== start.node) return [from, to];
  return [from, ...nodes.reverse().map((node) => graph.positions[node]!), to];
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

const NEVER = 2 ** 31 - 1;

/** Fastest ways from one node to all, or until `target` is settled; the shorter of equally fast ones. */
function fastestFrom({ first, head, arcCm, arcMs }: RoadGraph, source: number, target = -1) {
  const nodes = first.length - 1;
  const ms = new Int32Array(nodes).fill(NEVER);
  const cm = new Int32Array(nodes);
  const cameFrom = new Int32Array(nodes).fill(-1);
  const isSettled = new Uint8Array(nodes);
  const queue = new FlatQueue<number>();
  ms[source] = 0;
  queue.push(source, 0);
  while (queue.length > 0) {
    const node = queue.pop()!;
    if (isSettled[node]) continue;
    if (node === target) break;
    isSettled[node] = 1;
    for (let arc = first[node]!; arc < first[node + 1]!; arc++) {
      const to = head[arc]!;
      const time = ms[node]! + arcMs[arc]!;
      const length = cm[node]! + arcCm[arc]!;
      if (time > ms[to]! || (time === ms[to]! && length >= cm[to]!)) continue;
      ms[to] = time;
      cm[to] = length;
      cameFrom[to] = node;
      queue.push(to, time);
    }
  }
  return { ms, cm, cameFrom };
}
