/** The form of a known or a new site, and what a typed rule comes to. */
import { occurrences, parsePickupRule } from '../../../core/calendar/pickup-rule.ts';
import { addDays, localOf } from '../../../core/calendar/zone.ts';
import type { Instant } from '../../../core/quantity/units.ts';
import type { Db } from '../../../store/db.ts';
import { listDonors } from '../../../store/donors.ts';
import { getSite } from '../../../store/sites.ts';
import { requireWorkshop } from '../../../store/workshop.ts';
import { siteRow } from '../../../usecases/export-table.ts';
import { fingerprintOf } from '../../../usecases/keep-site.ts';
import type { RulePreview, SiteEditView } from './site-edit-view.ts';
import { typedOfRow } from './site-form.ts';

const NEXT_DATES = 10;
/** A rule that comes once in two years still shows its dates. */
const AHEAD_DAYS = 4000;

/** Without an id the empty form of a new site, at the workshop's door. */
export function readSiteEdit(db: Db, siteId?: string): SiteEditView | undefined {
  const { name, zone, currency, lat, lon } = requireWorkshop(db);
  const donors = listDonors(db).map(({ key, name: donor }) => ({ key, name: donor }));
  const base = { workshop: { name, zone, currency }, donors };
  if (siteId === undefined)
    return {
      ...base,
      typed: {
        how: 'none',
        lat: String(lat),
        lon: String(lon),
        declared_bags_per_week: '0',
        service_min: '8',
      },
    };
  const site = getSite(db, siteId);
  if (!site) return undefined;
  const { lat: _lat, lon: _lon, ...typed } = typedOfRow(siteRow(site));
  return { ...base, site: { id: site.id, name: site.name, seen: fingerprintOf(site) }, typed };
}

/** Nothing while the rule cannot be read. */
export function previewRule(
  db: Db,
  nowAt: Instant,
  cells: { readonly [column: string]: string },
): RulePreview | undefined {
  const parsed = parsePickupRule({
    rrule: cells['rule'] ?? '',
    startsLocal: cells['rule_start'] ?? '',
    windowMin: cells['rule_window_min'] ?? '',
    commitment: cells['rule_commitment'] ?? '',
    exceptDays: cells['rule_except'] ?? '',
    extraDays: cells['rule_extra'] ?? '',
  });
  if (!parsed.ok) return undefined;
  const { zone } = requireWorkshop(db);
  const today = localOf(zone, nowAt).day;
  const next = occurrences(parsed.value, zone, today, addDays(today, AHEAD_DAYS)).slice(0, NEXT_DATES);
  return { rule: parsed.value, next };
}
