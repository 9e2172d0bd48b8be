/** One text looked for everywhere: sites, donors, grades, vans, drivers, and days as people write them. */
import { readDay } from '../../../core/calendar/read-day.ts';
import { localOf } from '../../../core/calendar/zone.ts';
import type { Instant } from '../../../core/quantity/units.ts';
import type { Db } from '../../../store/db.ts';
import { listDonors } from '../../../store/donors.ts';
import { listDrivers } from '../../../store/drivers.ts';
import { fold, listSites, searchSites } from '../../../store/sites.ts';
import { listVans } from '../../../store/vans.ts';
import { listGrades, requireWorkshop } from '../../../store/workshop.ts';
import { planToShow } from '../../../usecases/plan-to-show.ts';
import { dayYear, kg, litres, number } from '../../shared/format.ts';
import { gradeName, SITE_KIND_WORDS } from '../../shared/words.ts';
import type { Found, SearchView } from './search-view.ts';

/** A page of each; who wants more says more. */
const MOST = 20;

export function readSearch(db: Db, nowAt: Instant, text: string): SearchView {
  const { name, zone, currency } = requireWorkshop(db);
  const words = fold(text)
    .split(/\s+/)
    .filter((word) => word !== '');
  const fits = (hay: string): boolean => words.every((word) => fold(hay).includes(word));
  const base = { workshop: { name, zone, currency }, text };
  if (words.length === 0) return { ...base, groups: [] };
  const day = readDay(text, localOf(zone, nowAt).day);
  const groups = [
    { title: 'Days', found: day === undefined ? [] : daysFound(db, day) },
    { title: 'Sites', found: sitesFound(db, text) },
    { title: 'Donors', found: donorsFound(db, fits) },
    { title: 'Grades', found: gradesFound(db, fits) },
    { title: 'Vans and drivers', found: fleetFound(db, fits) },
  ];
  return {
    ...base,
    ...(day === undefined ? {} : { day }),
    groups: groups
      .filter(({ found }) => found.length > 0)
      .map(({ title, found }) => ({ title, found: found.slice(0, MOST) })),
  };
}

function daysFound(db: Db, day: string): Found[] {
  const plan = planToShow(db);
  const isPlanned = plan?.plan.days.includes(day) ?? false;
  const rounds = plan?.rounds.filter((round) => round.day === day) ?? [];
  return [
    {
      name: `Map of ${dayYear(day)}`,
      about: isPlanned
        ? `${number(rounds.length)} ${rounds.length === 1 ? 'round' : 'rounds'}`
        : 'not among the planned days',
      to: `/map?day=${day}`,
    },
    { name: 'Vans and shifts of its week', about: '', to: `/fleet?from=${day}` },
  ];
}

const sitesFound = (db: Db, text: string): Found[] =>
  searchSites(db, text).map(({ id, name, kind, district, donorName }) => ({
    name,
    about: [SITE_KIND_WORDS[kind], district, donorName === name ? '' : donorName]
      .filter((word) => word !== '')
      .join(', '),
    to: `/sites/${id}`,
  }));

function donorsFound(db: Db, fits: (hay: string) => boolean): Found[] {
  const counts = Map.groupBy(listSites(db), ({ donorId }) => donorId);
  return listDonors(db)
    .filter(({ name, key }) => fits(`${name} ${key}`))
    .map(({ id, name }) => {
      const count = counts.get(id)?.length ?? 0;
      return {
        name,
        about: count === 1 ? 'one site' : `${number(count)} sites`,
        to: `/sites?q=${encodeURIComponent(name)}`,
      };
    });
}

const gradesFound = (db: Db, fits: (hay: string) => boolean): Found[] =>
  listGrades(db)
    .filter(({ grade, name }) => fits(`${grade} ${name} ${gradeName(grade)}`))
    .map(({ grade, name }) => ({ name: gradeName(grade), about: name, to: '/production' }));

const fleetFound = (db: Db, fits: (hay: string) => boolean): Found[] => [
  ...listVans(db)
    .filter(({ name }) => fits(name))
    .map(({ id, name, payloadKg, loadSpaceL }) => ({
      name,
      about: `van, ${kg(payloadKg)}, ${litres(loadSpaceL)}`,
      to: `/fleet/vans/${id}`,
    })),
  ...listDrivers(db)
    .filter(({ name }) => fits(name))
    .map(({ id, name }) => ({ name, about: 'driver', to: `/fleet/drivers/${id}` })),
];
