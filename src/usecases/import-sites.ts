/** The donor register and its surges from their tables. */
import { parseClosures, parseHours } from '../core/calendar/opening.ts';
import { type PickupRuleFault, parsePickupRule } from '../core/calendar/pickup-rule.ts';
import type { Position } from '../core/quantity/units.ts';
import { COMMITMENTS, CONTAINER_KINDS, EVENT_KINDS, SITE_KINDS } from '../core/vocabulary.ts';
import { type Donor, listDonors, saveDonor } from '../store/donors.ts';
import { type Container, listSites, type Site, saveSite } from '../store/sites.ts';
import { listSurges, type Surge, saveSurge } from '../store/surges.ts';
import { requireWorkshop, type Workshop } from '../store/workshop.ts';
import { siteRow } from './export-table.ts';
import { gradesOf } from './import-production.ts';
import type { MakeImport } from './import-table.ts';
import { positionFault } from './position-fault.ts';
import type { Cells } from './tables/cells.ts';
import { oneByOne, writeIfNew } from './tables/count-writes.ts';
import { nearest } from './tables/nearest.ts';

const USUAL_SERVICE_MIN = 8;

export const importSites: MakeImport<Site> = (tx, { newId, now }) => {
  const workshop = requireWorkshop(tx);
  const known = new Map(listSites(tx).map((row) => [row.key, row]));
  const donors = new Map(listDonors(tx).map((row) => [row.key, row]));
  const grades = gradesOf(tx);
  const named = new Map<string, { readonly name: string; readonly line: number }>();
  /** A site without a donor is its own; all rows of a donor call it by the same name, or by none. */
  const donorFor = (cells: Cells, key: string, name: string): Donor => {
    const donorKey = cells.raw('donor') || key;
    const before = donors.get(donorKey);
    const given = cells.has('donor_name') ? cells.raw('donor_name') : '';
    const other = named.get(donorKey);
    if (given !== '' && other && other.name !== given)
      cells.fault(
        'donor_name',
        `line ${other.line} calls the donor ${donorKey} "${other.name}"; write one name`,
      );
    else if (given !== '') named.set(donorKey, { name: given, line: cells.line });
    const donor = { id: before?.id ?? newId(), key: donorKey, name: given || before?.name || name };
    donors.set(donorKey, donor);
    return donor;
  };
  return oneByOne<Site>(
    (cells) => {
      const key = cells.key('key');
      const before = known.get(key);
      if (before) cells.keepKnown(siteRow(before));
      const name = cells.needed('name');
      const donor = donorFor(cells, key, name);
      const lat = cells.neededNumber('lat', { min: -90, max: 90, unit: 'degrees' });
      const lon = cells.neededNumber('lon', { min: -180, max: 180, unit: 'degrees' });
      checkPosition(cells, { lat, lon }, workshop);
      const activeFromDay = cells.day('active_from') ?? null;
      const activeUntilDay = cells.day('active_until') ?? null;
      if (activeFromDay !== null && activeUntilDay !== null && activeUntilDay < activeFromDay)
        cells.fault('active_until', `must not be before active_from ${activeFromDay}`);
      return {
        id: before?.id ?? newId(),
        key,
        donorId: donor.id,
        donorKey: donor.key,
        donorName: donor.name,
        name,
        kind: cells.neededOneOf('kind', SITE_KINDS),
        lat,
        lon,
        address: cells.raw('address'),
        district: cells.raw('district'),
        accessNotes: cells.raw('access_notes'),
        handlingNotes: cells.raw('handling_notes'),
        serviceS: Math.round(
          60 * (cells.number('service_min', { min: 0, max: 480, unit: 'minutes' }) ?? USUAL_SERVICE_MIN),
        ),
        declaredBagsPerWeek: cells.neededNumber('declared_bags_per_week', {
          min: 0,
          max: 10_000,
          unit: 'bags',
        }),
        bagKg: cells.number('bag_kg', { min: 0.01, max: 100, unit: 'kg' }) ?? null,
        activeFromDay,
        activeUntilDay,
        registeredAt: before?.registeredAt ?? now(),
        containers: readContainers(cells),
        hours: readHours(cells),
        closures: readClosures(cells),
        rules: readRule(cells),
        gradeShares: cells.shares('grades', grades),
        contacts: readContact(cells),
      };
    },
    (site) => site.key,
    (site) => {
      const donor = { id: site.donorId, key: site.donorKey, name: site.donorName };
      return writeIfNew(known.get(site.key), site, (next) => {
        saveDonor(tx, donor);
        saveSite(tx, next);
      });
    },
  );
};

function checkPosition(cells: Cells, at: Position, workshop: Workshop): void {
  const fault = cells.faults.length > 0 ? undefined : positionFault(at, workshop);
  if (fault === undefined) return;
  const advice =
    fault === 'swapped'
      ? 'latitude and longitude look swapped'
      : `lies far from the workshop at ${workshop.lat}, ${workshop.lon}; check the sign and the decimal point`;
  cells.fault('lat', `${at.lat}, ${at.lon}: ${advice}`);
}

function readContainers(cells: Cells): Container[] {
  const containers: Container[] = [];
  if (cells.raw('containers') === '') cells.fault('containers', 'must not be empty: such as cage:2:1100');
  for (const piece of cells.raw('containers').split(';')) {
    if (piece.trim() === '') continue;
    const [word = '', count = '', litres = ''] = piece.split(':').map((part) => part.trim());
    const kind = CONTAINER_KINDS.find((one) => one === word.toLowerCase());
    if (!kind) {
      const [near] = nearest(word, CONTAINER_KINDS);
      const hint = near ? ` (did you mean ${near}?)` : '';
      cells.fault('containers', `"${word}" is no container: ${CONTAINER_KINDS.join(', ')}${hint}`);
    } else if (!/^\d+$/.test(count) || Number(count) < 1)
      cells.fault('containers', `write ${word}:COUNT:LITRES with a whole count, such as ${kind}:2:1100`);
    else if (!(Number(litres) > 0) || Number(litres) > 100_000)
      cells.fault(
        'containers',
        `write ${word}:${count}:LITRES with the litres of one, such as ${kind}:2:1100`,
      );
    else
      containers.push({
        kind,
        count: Number(count),
        litresEach: Number(litres),
        fromDay: null,
        untilDay: null,
      });
  }
  return containers;
}

function readHours(cells: Cells) {
  const parsed = parseHours(cells.raw('hours'));
  if (parsed.ok) return parsed.value;
  const { code, value, allowed } = parsed.refusal;
  cells.fault(
    'hours',
    code === 'overlap'
      ? `"${value}" overlaps other hours of ${allowed}`
      : `"${value}": write ${allowed}${code === 'closes-first' ? '; hours over midnight are two pieces' : ''}`,
  );
  return [];
}

function readClosures(cells: Cells) {
  const parsed = parseClosures(cells.raw('closures'));
  if (!parsed.ok) {
    cells.fault('closures', `"${parsed.refusal.value}": write ${parsed.refusal.allowed}`);
    return [];
  }
  const spans = parsed.value.map(({ fromDay, untilDay }) => `${fromDay}..${untilDay}`);
  const twice = spans.find((span, i) => spans.indexOf(span) !== i);
  if (twice !== undefined) cells.fault('closures', `${twice} stands there twice`);
  return parsed.value;
}

const RULE_COLUMNS: { readonly [field in PickupRuleFault['field']]: string } = {
  rrule: 'rule',
  startsLocal: 'rule_start',
  windowMin: 'rule_window_min',
  commitment: 'rule_commitment',
  exceptDays: 'rule_except',
  extraDays: 'rule_extra',
};

function readRule(cells: Cells): Site['rules'] {
  if (cells.raw('rule') === '') {
    for (const column of ['rule_start', 'rule_window_min', 'rule_commitment', 'rule_except', 'rule_extra'])
      if (cells.has(column) && cells.raw(column) !== '')
        cells.fault(column, 'belongs to a rule, and rule is empty');
    return [];
  }
  const parsed = parsePickupRule({
    rrule: cells.raw('rule'),
    startsLocal: cells.raw('rule_start'),
    windowMin: cells.raw('rule_window_min'),
    commitment: cells.raw('rule_commitment'),
    exceptDays: cells.raw('rule_except'),
    extraDays: cells.raw('rule_extra'),
  });
  if (parsed.ok) return [parsed.value];
  for (const fault of parsed.refusal)
    cells.fault(
      RULE_COLUMNS[fault.field],
      fault.field === 'rrule'
        ? `${fault.part}${fault.value === '' ? '' : `=${fault.value}`} (${fault.code.replaceAll('-', ' ')})${fault.allowed ? `: ${fault.allowed}` : ''}`
        : `${fault.code === 'missing' ? 'must not be empty: ' : ''}${fault.allowed || COMMITMENTS.join(' or ')}`,
    );
  return [];
}

function readContact(cells: Cells): Site['contacts'] {
  const person = {
    name: cells.raw('contact_name'),
    phone: cells.raw('contact_phone'),
    email: cells.address('contact_email'),
  };
  return person.name + person.phone + person.email === '' ? [] : [person];
}

export const importSurges: MakeImport<Surge> = (tx, { newId, now }) => {
  const { zone } = requireWorkshop(tx);
  const sites = new Map(listSites(tx).map((site) => [site.key, site.id]));
  const known = new Map(listSurges(tx).map((row) => [row.key, row]));
  return oneByOne<Surge>(
    (cells) => {
      const key = cells.key('key');
      const before = known.get(key);
      if (before) cells.keepKnown({ name: before.name });
      const startsAt = cells.neededInstant('starts_at', zone);
      const endsAt = cells.neededInstant('ends_at', zone);
      if (cells.faults.length === 0 && endsAt < startsAt)
        cells.fault('ends_at', 'must not be before starts_at');
      return {
        id: before?.id ?? newId(),
        key,
        siteId: cells.reference('site', sites, 'site') ?? '',
        eventKind: cells.neededOneOf('event_kind', EVENT_KINDS),
        name: cells.raw('name'),
        startsAt,
        endsAt,
        expectedBags: cells.neededNumber('expected_bags', { min: 0.1, max: 100_000, unit: 'bags' }),
        announcedAt: cells.instant('announced_at', zone) ?? before?.announcedAt ?? now(),
        cancelledAt: before?.cancelledAt ?? null,
      };
    },
    (surge) => surge.key,
    (surge) => writeIfNew(known.get(surge.key), surge, (next) => saveSurge(tx, next)),
  );
};
