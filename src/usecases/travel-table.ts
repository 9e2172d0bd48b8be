/** Legs between the workshop and its sites, by road where the workshop has a road map, else estimated. */
import type { Position } from '../core/quantity/units.ts';
import type { TravelTable } from '../core/routing/travel-table.ts';
import type { Db } from '../store/db.ts';
import { getMapLayer, ROADS_LAYER } from '../store/map-layers.ts';
import type { Workshop } from '../store/workshop.ts';
import { greatCircleTable } from '../travel/great-circle.ts';
import { readOsmRoads } from '../travel/osm-roads.ts';
import { buildRoadGraph, type RoadGraph, roadPath, roadTable } from '../travel/road-graph.ts';

/** The last road map that was read, and the last table made on it: both take longer than a page may. */
let roads: { readonly xml: string; readonly graph: RoadGraph } | undefined;
let last: { readonly key: string; readonly graph: RoadGraph; readonly table: TravelTable } | undefined;

export function travelTableFor(db: Db, workshop: Workshop, positions: readonly Position[]): TravelTable {
  const { kind, detourFactor, speedKmh } = workshop.settings.travel;
  const layer = kind === 'roads' ? getMapLayer(db, ROADS_LAYER) : undefined;
  if (!layer) return greatCircleTable(positions, { detourFactor, speedKmh });
  const graph = graphOf(layer.content);
  const key = JSON.stringify([positions.map(({ lat, lon }) => [lat, lon]), detourFactor, speedKmh]);
  if (last?.key !== key || last.graph !== graph)
    last = {
      key,
      graph,
      table: roadTable(graph, positions, { detourFactor, speedKmh }).table,
    };
  return last.table;
}

/** The line to draw from place to place: along the streets where there is a road map, else straight. */
export function wayAlong(db: Db, workshop: Workshop, places: readonly Position[]): Position[] {
  const layer = workshop.settings.travel.kind === 'roads' ? getMapLayer(db, ROADS_LAYER) : undefined;
  if (!layer) return [...places];
  const graph = graphOf(layer.content);
  return places.flatMap((place, i) => (i === 0 ? [place] : roadPath(graph, places[i - 1]!, place).slice(1)));
}

function graphOf(xml: string): RoadGraph {
  if (roads?.xml !== xml) roads = { xml, graph: buildRoadGraph(readOsmRoads(xml)) };
  return roads.graph;
}
