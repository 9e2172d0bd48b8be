/** The workshop itself, from one JSON file with its road map and what else is drawn on a map, or as typed on its page. */
import { readFileSync } from 'node:fs';
import { basename, dirname, extname, resolve } from 'node:path';
import { z } from 'zod';
import { isZone } from '../core/calendar/zone.ts';
import { GRADES } from '../core/vocabulary.ts';
import { inTransaction } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { getMapLayer, type MapLayer, ROADS_LAYER, saveMapLayer } from '../store/map-layers.ts';
import { type Settings, SettingsSchema } from '../store/settings.ts';
import { getWorkshop, listGrades, saveGrades, saveWorkshop, type Workshop } from '../store/workshop.ts';
import { readOsmRoads } from '../travel/osm-roads.ts';
import { buildRoadGraph } from '../travel/road-graph.ts';
import type { Context } from './context.ts';
import { toMicros } from './import-fleet.ts';
import { readGround } from './map-ground.ts';
import { toGram } from './tables/cells.ts';
import { isSame } from './tables/count-writes.ts';
import { UnreadableFile } from './tables/read-rows.ts';

export const WorkshopFile = z.strictObject({
  name: z.string().min(1),
  zone: z.string().refine(isZone, { error: 'write an IANA zone such as Europe/Vienna' }),
  lat: z.number().min(-90).max(90),
  lon: z.number().min(-180).max(180),
  address: z.string().default(''),
  currency: z.string().regex(/^[A-Z]{3}$/, { error: 'write an ISO 4217 code such as EUR' }),
  storeLimitKg: z.number().positive(),
  filmKgPerM3: z.number().positive(),
  bagKg: z.number().positive(),
  /** OpenStreetMap XML of the area, beside this file; without one, legs are estimated. */
  roads: z.string().optional(),
  /** GeoJSON files beside this one, such as water, districts and places, to be drawn under the rounds. */
  maps: z.array(z.string()).default([]),
  unloadHours: z.string().optional(),
  demoToday: z.string().optional(),
  grades: z
    .array(
      z.strictObject({
        grade: z.enum(GRADES as [string, ...string[]]),
        name: z.string().min(1),
        buyPricePerKg: z.number().min(0),
      }),
    )
    .min(1),
  settings: z.looseObject({}).default({}),
});

export type WorkshopReport = { readonly isNew: boolean; readonly isChanged: boolean; readonly roads: number };

/** @throws UnreadableFile naming what in the file is wrong */
export function importWorkshop(
  context: Context,
  path: string,
  options: { readonly dryRun: boolean; readonly actor: string },
): WorkshopReport {
  const file = parse(WorkshopFile, readJson(path), path);
  const roadsXml = file.roads === undefined ? undefined : readText(resolve(dirname(path), file.roads));
  const layers: MapLayer[] = [
    ...(roadsXml === undefined ? [] : [{ name: ROADS_LAYER, format: 'osm-xml' as const, content: roadsXml }]),
    ...file.maps.map((map) => readMap(resolve(dirname(path), map))),
  ];
  return keepWorkshop(context, file, { ...options, where: path, layers });
}

/**
 * What the facts do not name stays as it is. The same again changes nothing.
 *
 * @param where the file, for sentences about its mistakes
 * @throws UnreadableFile naming what in the settings or the road map is wrong
 */
export function keepWorkshop(
  { store, now }: Context,
  facts: z.output<typeof WorkshopFile>,
  {
    dryRun,
    actor,
    where,
    layers,
  }: {
    readonly dryRun: boolean;
    readonly actor: string;
    readonly where: string;
    readonly layers: readonly MapLayer[];
  },
): WorkshopReport {
  const { roads, maps: _, unloadHours, demoToday, grades, settings: given, ...own } = facts;
  const written = {
    ...given,
    ...(unloadHours === undefined ? {} : { unloadHours }),
    ...(demoToday === undefined ? {} : { demoToday }),
    travel: {
      ...(roads === undefined ? {} : { kind: 'roads' }),
      ...(given['travel'] as object | undefined),
    },
  };
  // By itself first: a mistake of the file must not be told of what stands already.
  parse(SettingsSchema, written, `${where}, settings`);
  const prices = grades.map(({ grade, name, buyPricePerKg }) => ({
    grade: grade as (typeof GRADES)[number],
    name,
    buyPriceMicrosPerKg: toMicros(buyPricePerKg),
  }));
  // Read before anything is kept: a broken map is a mistake of the file, not of a later morning.
  const roadsXml = layers.find(({ name }) => name === ROADS_LAYER)?.content;
  const graph = roadsXml === undefined ? undefined : buildRoadGraph(readOsmRoads(roadsXml));

  return inTransaction(store, (tx) => {
    const before = getWorkshop(tx);
    const workshop: Workshop = {
      ...own,
      storeLimitKg: toGram(own.storeLimitKg),
      settings: parse(SettingsSchema, withWritten(before?.settings, written), `${where}, settings`),
    };
    const order = (rows: typeof prices) => rows.toSorted((a, b) => (a.grade < b.grade ? -1 : 1));
    const isChanged =
      !before ||
      !isSame(before, workshop) ||
      !isSame(order(listGrades(tx)), order(prices)) ||
      layers.some(({ name, content }) => getMapLayer(tx, name)?.content !== content);
    if (isChanged && !dryRun) {
      saveWorkshop(tx, workshop);
      saveGrades(tx, prices);
      for (const layer of layers) saveMapLayer(tx, layer);
      appendEntry(tx, {
        at: now(),
        kind: 'workshop-imported',
        subject: 'workshop:workshop',
        actor,
        facts: { name: workshop.name },
      });
    }
    return { isNew: !before, isChanged, roads: graph?.positions.length ?? 0 };
  });
}

/** What the file does not name stays: prices changed on the page, and what was learnt from the own history. */
function withWritten(before: Settings | undefined, written: { readonly [name: string]: unknown }): unknown {
  const { demoToday: _, ...kept } = before ?? {};
  const inner = Object.entries(written).map(([name, value]) => {
    const old = (kept as { readonly [name: string]: unknown })[name];
    const isTree = typeof value === 'object' && value !== null && typeof old === 'object' && old !== null;
    return [name, isTree ? { ...old, ...value } : value];
  });
  return { ...kept, ...Object.fromEntries(inner) };
}

/** Named after its file: `town/river.geojson` is the layer `river`. */
function readMap(path: string): MapLayer {
  const name = basename(path, extname(path));
  if (name === ROADS_LAYER)
    throw new UnreadableFile(
      `${path}: the name "${ROADS_LAYER}" is kept for the road map; name the file otherwise.`,
    );
  const content = readText(path);
  try {
    readGround(content);
  } catch (error) {
    throw new UnreadableFile(`${path}: ${error instanceof Error ? error.message : error}`);
  }
  return { name, format: 'geojson', content };
}

function readText(path: string): string {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    throw new UnreadableFile(`There is no file ${path} that can be read.`);
  }
}

function readJson(path: string): unknown {
  try {
    return JSON.parse(readText(path));
  } catch (error) {
    if (error instanceof UnreadableFile) throw error;
    throw new UnreadableFile(`${path} is no JSON: ${error instanceof Error ? error.message : error}`);
  }
}

function parse<S extends z.ZodType>(schema: S, value: unknown, where: string): z.output<S> {
  const parsed = schema.safeParse(value);
  if (parsed.success) return parsed.data;
  const faults = parsed.error.issues.map((issue) => `${issue.path.join('.') || 'top'}: ${issue.message}`);
  throw new UnreadableFile(`${where}: ${faults.join('; ')}`);
}
