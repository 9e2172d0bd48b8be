/** Series of weigh-ins from any CSV file, for scoring the estimator on other data than the workshop's own. */
import type { Evidence, SiteHistory } from '../core/accumulation/site-history.ts';
import type { Kg, Litres } from '../core/quantity/units.ts';
import { Cells, type Fault } from './tables/cells.ts';
import type { TableSpec } from './tables/columns.ts';
import { readRows } from './tables/read-rows.ts';

export const SERIES_TABLE: TableSpec = {
  kind: 'series',
  about: 'Weigh-ins of any sites.',
  columns: [
    { name: 'site', isRequired: true, about: 'name or key of the site' },
    { name: 'at', isRequired: true, about: 'when, local such as 2026-05-04T09:30, a day, or with an offset' },
    { name: 'net_kg', isRequired: true, about: 'net mass, kg' },
    { name: 'capacity_kg', isRequired: false, about: 'what the container holds, kg' },
    { name: 'found_full', isRequired: false, about: 'yes if it was full' },
    { name: 'bags', isRequired: false, about: 'how many bags' },
  ],
};

/** Nothing is known of these containers' litres: one kg counts as one litre. */
const LITRES_PER_KG = 1;
const NO_BRIM_KG: Kg = 1e9;
const MAX_KG: Kg = 1e6;

export type Series = { readonly histories: readonly SiteHistory[]; readonly faults: readonly Fault[] };

/** @throws UnreadableFile when the file as such cannot be read */
export async function readWeighInSeries(path: string, zone: string): Promise<Series> {
  const bySite = new Map<string, { evidence: Evidence[]; capacityKg: Kg }>();
  const faults: Fault[] = [];
  for await (const raw of readRows(path, SERIES_TABLE)) {
    const day = raw.cells['at'] ?? '';
    // A day alone is read as its noon.
    const cells = new Cells(
      /^\d{4}-\d{2}-\d{2}$/.test(day.trim())
        ? { ...raw, cells: { ...raw.cells, at: `${day.trim()}T12:00` } }
        : raw,
    );
    const site = cells.needed('site');
    const at = cells.neededInstant('at', zone);
    const netKg = cells.neededNumber('net_kg', { min: 0, max: MAX_KG, unit: 'kg' });
    const capacityKg = cells.number('capacity_kg', { min: 0.001, max: MAX_KG, unit: 'kg' });
    const bags = cells.number('bags', { min: 0, max: 1e6, unit: 'bags' });
    const foundFull = cells.yesNo('found_full');
    faults.push(...cells.faults);
    const known = bySite.get(site) ?? { evidence: [], capacityKg: NO_BRIM_KG };
    known.capacityKg = capacityKg ?? known.capacityKg;
    known.evidence.push({
      kind: 'picked-up',
      id: `line-${String(raw.line).padStart(9, '0')}`,
      at,
      netKg,
      foundFull,
      method: 'scale',
      ...(bags === undefined ? {} : { bags }),
    });
    bySite.set(site, known);
  }
  const histories = [...bySite].map(([siteId, { evidence, capacityKg }]): SiteHistory => {
    const sorted = evidence.toSorted((a, b) => a.at - b.at || (a.id < b.id ? -1 : 1));
    const litres: Litres = capacityKg * LITRES_PER_KG;
    return {
      siteId,
      kind: 'shop',
      zone,
      declaredBagsPerWeek: 0,
      bagKg: 1,
      litresPerKg: LITRES_PER_KG,
      containers: [{ count: 1, litresEach: litres }],
      openWeekdays: [true, true, true, true, true, true, true],
      closedDays: [],
      fillsSinceAt: sorted[0]!.at,
      isStartKnown: false,
      declaredShares: {},
      evidence: sorted,
      surges: [],
    };
  });
  return { histories, faults };
}
