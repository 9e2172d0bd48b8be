/** The demo files as text, by name. Headers are those of the importers; see README.md. */
import { addDays, isoWeekday } from '../../src/core/calendar/zone.ts';
import { DONORS, type Donor, MIXES, placeOn, WORKSHOP } from './donors.ts';
import { latOf, lonLat, lonOf, type Point } from './plane.ts';
import { buildRoads, DISTRICTS, HEIGHT_M, PLACES, RIVER_RING, type RoadNet, WIDTH_M } from './town.ts';
import { BAG_KG, FILM_KG_PER_M3, isPressDay, PRODUCTS, simulateStock, simulateWeighIns, SURGES, TODAY, ZONE } from './year.ts';

type Cell = string | number | undefined;
type Row = { readonly [column: string]: Cell };

export function demoFiles(): Map<string, string> {
  const roads = buildRoads();
  const weighIns = simulateWeighIns();
  const stock = simulateStock(weighIns);
  const sites = DONORS.map((donor) => siteRow(donor, roads));
  const beyond = Array.from({ length: 21 }, (_, i) => addDays(TODAY, i));
  return new Map([
    ['town/roads.osm', osmXml(roads)],
    ['town/river.geojson', geojson([polygon({ name: 'Ellow', kind: 'river' }, RIVER_RING)])],
    ['town/districts.geojson', geojson(DISTRICTS.map((d) => polygon({ name: d.name, kind: 'district' }, d.ring)))],
    ['town/places.geojson', geojson(PLACES.map((p) => point({ name: p.name, kind: p.kind }, lonLat(p.at))))],
    ['workshop.json', workshopJson(roads)],
    ['sites.csv', csv(SITE_COLUMNS, sites)],
    ['sites.geojson', geojson(sites.map(({ lat, lon, ...rest }) => point(named(rest), [Number(lon), Number(lat)])))],
    ['weigh-ins.csv', csv(['key', 'site', 'at', 'net_kg', 'gross_kg', 'tare_kg', 'bags', 'found_full', 'rejected_kg', 'reject_reason', 'grades', 'note'],
      weighIns.map((w) => ({
        key: w.key, site: w.site, at: w.at, net_kg: w.netKg, gross_kg: w.grossKg, tare_kg: w.tareKg, bags: w.bags,
        found_full: w.foundFull ? 'yes' : 'no', rejected_kg: w.rejectedKg === 0 ? undefined : w.rejectedKg,
        reject_reason: w.rejectReason, grades: pairs(w.grades), note: w.note,
      })))],
    ['surges.csv', csv(['key', 'site', 'event_kind', 'name', 'starts_at', 'ends_at', 'expected_bags', 'announced_at'],
      SURGES.map((s) => ({ key: s.key, site: s.site, event_kind: s.kind, name: s.name, starts_at: s.starts, ends_at: s.ends, expected_bags: s.bags, announced_at: s.announced })))],
    ['products.csv', csv(['key', 'name', 'film_kg_per_unit', 'yield', 'off_cut_return', 'grades'],
      PRODUCTS.map((p) => ({ key: p.key, name: p.name, film_kg_per_unit: p.filmKg, yield: p.yield, off_cut_return: p.back, grades: pairs(p.mix) })))],
    ['production.csv', csv(['product', 'day', 'units'], beyond.filter((day) => isPressDay(day) && day !== PRESS_SERVICE_DAY).flatMap(productionOn))],
    ['vans.csv', csv(['key', 'name', 'payload_kg', 'load_space_l', 'cost_per_km'], [
      { key: 'van-kite', name: 'Kite', payload_kg: 720, load_space_l: 6500, cost_per_km: 0.42 },
      { key: 'van-wren', name: 'Wren', payload_kg: 480, load_space_l: 4200, cost_per_km: 0.34 },
    ])],
    ['drivers.csv', csv(['key', 'name', 'cost_per_hour'], [
      { key: 'driver-ina', name: 'Ina Quarrell', cost_per_hour: 21.5 },
      { key: 'driver-tobin', name: 'Tobin Ashlock', cost_per_hour: 19.8 },
    ])],
    ['shifts.csv', csv(['key', 'van', 'driver', 'day', 'starts', 'ends'], beyond.flatMap(shiftsOn))],
    ['stock.csv', csv(['key', 'day', 'grade', 'kind', 'kg', 'note'], stock.movements.map((m) => ({ ...m })))],
  ]);
}

// ---- rows --------------------------------------------------------------------------------------------------

const SITE_COLUMNS = ['key', 'donor', 'donor_name', 'name', 'kind', 'lat', 'lon', 'address', 'district', 'declared_bags_per_week', 'bag_kg', 'service_min', 'containers', 'hours', 'closures', 'rule', 'rule_start', 'rule_window_min', 'rule_commitment', 'rule_except', 'rule_extra', 'grades', 'access_notes', 'handling_notes', 'contact_name', 'contact_phone', 'contact_email', 'active_from', 'active_until'] as const;

const FIRST_NAMES = ['Orla', 'Bram', 'Nessa', 'Corin', 'Maud', 'Edric', 'Tilda', 'Rafe', 'Isolde', 'Jory', 'Linnea', 'Osk', 'Perrin', 'Saskia'];
const LAST_NAMES = ['Wetherly', 'Pocklin', 'Tarn', 'Quillon', 'Estrick', 'Hobday', 'Marrin', 'Vexley', 'Brindle', 'Oakhurst', 'Lorrimer'];
const slug = (text: string): string => text.toLowerCase().replace(/[^a-z]+/g, '-').replace(/^-|-$/g, '');

function siteRow(d: Donor, roads: RoadNet): Row {
  const place = placeOn(roads, d.street, d.along, d.side);
  const donorKey = slug(d.donor);
  const firstOfDonor = DONORS.findIndex((other) => other.donor === d.donor);
  const contact = [FIRST_NAMES[firstOfDonor % FIRST_NAMES.length]!, LAST_NAMES[(firstOfDonor * 3) % LAST_NAMES.length]!];
  return {
    key: d.key, donor: donorKey, donor_name: d.donor, name: d.name, kind: d.kind,
    lat: latOf(place.at), lon: lonOf(place.at), address: place.address, district: place.district,
    declared_bags_per_week: d.bags, bag_kg: d.bagKg, service_min: d.serviceMin,
    containers: d.containers.map((c) => c.join(':')).join(';'), hours: d.hours, closures: d.closures,
    rule: d.rule?.rrule, rule_start: d.rule?.start, rule_window_min: d.rule?.windowMin,
    rule_commitment: d.rule && (d.rule.must ? 'must' : 'usual'), rule_except: d.rule?.except, rule_extra: d.rule?.extra,
    grades: pairs(MIXES[d.mix]), access_notes: d.access, handling_notes: d.handling,
    // 555-0100 to 555-0199 are kept free for fiction in the North American plan; example.org by RFC 2606.
    contact_name: contact.join(' '), contact_phone: `555-01${String(firstOfDonor).padStart(2, '0')}`,
    contact_email: `${slug(contact[0]!)}@${donorKey}.example.org`,
    active_from: d.from, active_until: d.until,
  };
}

/** The press is serviced, so nothing is made. */
const PRESS_SERVICE_DAY = '2026-07-01';

function productionOn(day: string): Row[] {
  const gardensOrder = day >= '2026-06-22' && day <= '2026-06-26'; // the town gardens take trays
  return PRODUCTS.map((p) => ({
    product: p.key, day, units: Math.round(p.unitsADay * (p.key === 'tray' && gardensOrder ? 1.3 : 1)),
  }));
}

function shiftsOn(day: string): Row[] {
  const weekday = isoWeekday(day);
  const rows: Row[] = [];
  const add = (van: string, driver: string, starts: string, ends: string) =>
    rows.push({ key: `${day}-${van.slice(4)}`, van, driver, day, starts, ends });
  // Both drivers have half days: the afternoon belongs to the press.
  if (weekday <= 5) add('van-kite', 'driver-ina', '07:00', '13:00');
  if (weekday === 3) add('van-wren', 'driver-tobin', '10:00', '15:00');
  if (weekday === 2 || weekday === 5 || weekday === 6) add('van-wren', 'driver-tobin', '08:00', '13:00');
  return rows;
}

function workshopJson(roads: RoadNet): string {
  const place = placeOn(roads, WORKSHOP.street, WORKSHOP.along, 1);
  return `${JSON.stringify({
    name: 'Tarrowmere Film Workshop', zone: ZONE, lat: latOf(place.at), lon: lonOf(place.at), address: place.address,
    currency: 'EUR', storeLimitKg: 1600, filmKgPerM3: FILM_KG_PER_M3, bagKg: BAG_KG,
    roads: 'town/roads.osm', maps: ['town/districts.geojson', 'town/river.geojson', 'town/places.geojson'], unloadHours: 'mo-sa 06:00-20:00', demoToday: TODAY,
    grades: [
      { grade: 'ldpe-clear', name: 'Clear stretch and wrap', buyPricePerKg: 0.95 },
      { grade: 'ldpe-printed', name: 'Printed soft film', buyPricePerKg: 0.6 },
      { grade: 'hdpe-white', name: 'White crinkly carriers', buyPricePerKg: 0.75 },
      { grade: 'ldpe-black', name: 'Black garden film', buyPricePerKg: 0.55 },
      { grade: 'mixed-film-printed', name: 'Mixed printed film', buyPricePerKg: 0.4 },
    ],
    settings: {},
  }, null, 2)}\n`;
}

// ---- forms ---------------------------------------------------------------------------------------------------

const pairs = (values: { readonly [name: string]: number }): string =>
  Object.entries(values).map(([name, value]) => `${name}:${value}`).join(';');

/** RFC 4180, with a line feed only. */
function csv(columns: readonly string[], rows: readonly Row[]): string {
  const cell = (value: Cell): string => {
    const text = value === undefined ? '' : String(value);
    return /[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
  };
  return `${[columns.join(','), ...rows.map((row) => columns.map((c) => cell(row[c])).join(','))].join('\n')}\n`;
}

const named = (row: Row) => Object.fromEntries(Object.entries(row).filter(([, value]) => value !== undefined));
const point = (properties: object, coordinates: readonly number[]) => ({ type: 'Feature', properties, geometry: { type: 'Point', coordinates } });
const polygon = (properties: object, ring: readonly Point[]) => ({ type: 'Feature', properties, geometry: { type: 'Polygon', coordinates: [ring.map(lonLat)] } });
/** One feature a line, so that a change shows where it is. */
const geojson = (features: readonly object[]): string =>
  `{"type":"FeatureCollection","features":[\n${features.map((f) => JSON.stringify(f)).join(',\n')}\n]}\n`;

function osmXml({ nodes, ways }: RoadNet): string {
  const tag = (k: string, v: string | number) => `    <tag k="${k}" v="${v}"/>`;
  const lines = [
    '<?xml version="1.0" encoding="UTF-8"?>',
    '<osm version="0.6" generator="Feedround demo town">',
    `  <bounds minlat="${latOf([0, 0])}" minlon="${lonOf([0, 0])}" maxlat="${latOf([0, HEIGHT_M])}" maxlon="${lonOf([WIDTH_M, 0])}"/>`,
    ...nodes.map((n) => `  <node id="${n.id}" version="1" lat="${latOf(n.at)}" lon="${lonOf(n.at)}"/>`),
    ...ways.flatMap((way, i) => [
      `  <way id="${i + 1}" version="1">`,
      ...way.nodes.map((id) => `    <nd ref="${id}"/>`),
      tag('name', way.name),
      tag('highway', way.highway),
      tag('maxspeed', way.maxspeedKmh),
      ...(way.oneway ? [tag('oneway', 'yes')] : []),
      ...(way.bridge ? [tag('bridge', 'yes'), tag('layer', 1)] : []),
      '  </way>',
    ]),
    '</osm>',
  ];
  return `${lines.join('\n')}\n`;
}
