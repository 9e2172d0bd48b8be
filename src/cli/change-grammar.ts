/** Changes by hand as words: "move corner-shop 2026-06-16 to=2026-06-18 then skip the-mill 2026-06-17". */
import { isDay } from '../core/calendar/zone.ts';
import type { Change } from '../core/planning/changes.ts';
import type { Db } from '../store/db.ts';
import { listShifts } from '../store/shifts.ts';
import { listSites } from '../store/sites.ts';
import { Refusal, UsageError } from './command.ts';

type Keyed = { readonly id: string; readonly key: string };
const STOP_KINDS = ['skip', 'add', 'move', 'pin', 'unpin'] as const;

/** @throws UsageError where the words make no change, Refusal where they name what is not there */
export function readChanges(db: Db, words: readonly string[]): Change[] {
  const sites = listSites(db);
  const shifts = listShifts(db);
  const changes: string[][] = [[]];
  for (const word of words) {
    if (word === 'then') changes.push([]);
    else changes.at(-1)!.push(word);
  }
  return changes.map((change) => readChange(change, sites, shifts));
}

function readChange(words: readonly string[], sites: readonly Keyed[], shifts: readonly Keyed[]): Change {
  const [kind = '', ...rest] = words;
  const named = rest.filter((word) => !word.includes('='));
  const pairs = new Map(rest.filter((word) => word.includes('=')).map(pairOf));
  if (kind === 'swap-drivers') {
    const [one, other] = named;
    if (one === undefined || other === undefined || rest.length > 2)
      throw new UsageError('swap-drivers takes the keys of two shifts.');
    return { kind, shiftId: idOf(shifts, one, 'shift'), withShiftId: idOf(shifts, other, 'shift') };
  }
  const stopKind = STOP_KINDS.find((one) => one === kind);
  if (stopKind === undefined)
    throw new UsageError(`A change begins with ${STOP_KINDS.join(', ')} or swap-drivers, not "${kind}".`);
  const [site, day] = named;
  if (site === undefined || day === undefined || named.length > 2)
    throw new UsageError(`${kind} takes a site’s key and a day, such as ${kind} corner-shop 2026-06-16.`);
  const stop = { siteId: idOf(sites, site, 'site'), day: dayOf(day) };
  const allowed =
    stopKind === 'move' ? ['to', 'shift', 'place'] : stopKind === 'add' ? ['shift', 'place'] : [];
  for (const name of pairs.keys())
    if (!allowed.includes(name)) throw new UsageError(`${kind} takes no ${name}=.`);
  if (stopKind !== 'move' && stopKind !== 'add') return { kind: stopKind, ...stop };
  const [to, shift, place] = ['to', 'shift', 'place'].map((name) => pairs.get(name));
  const where = {
    ...(shift === undefined ? {} : { shiftId: idOf(shifts, shift, 'shift') }),
    ...(place === undefined ? {} : { position: placeOf(place) }),
  };
  if (stopKind === 'add') return { kind: stopKind, ...stop, ...where };
  return { kind: stopKind, ...stop, ...(to === undefined ? {} : { toDay: dayOf(to) }), ...where };
}

function pairOf(word: string): [string, string] {
  const cut = word.indexOf('=');
  return [word.slice(0, cut), word.slice(cut + 1)];
}

function idOf(known: readonly Keyed[], key: string, what: string): string {
  const found = known.find((one) => one.key === key) ?? known.find((one) => one.id === key);
  if (!found) throw new Refusal(`There is no ${what} "${key}" in the register.`);
  return found.id;
}

function dayOf(text: string): string {
  if (!isDay(text)) throw new UsageError(`"${text}" is no day. Write it as 2026-06-15.`);
  return text;
}

function placeOf(text: string): number {
  const place = Number(text);
  if (!Number.isInteger(place) || place < 1)
    throw new UsageError(`place= takes a whole number from 1, not "${text}".`);
  return place;
}
