/**
 * Private addresses of calendars. A calendar program shows no page and keeps no cookie: its address is the key,
 * opens this one calendar and nothing else, and can be withdrawn by itself. One a donor, driver or van: a new
 * address ends the one before.
 */
import { randomBytes } from 'node:crypto';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Seconds } from '../core/quantity/units.ts';
import type { Role } from '../core/vocabulary.ts';
import {
  type Access,
  createAccessToken,
  findAccess,
  listAccess,
  revokeAccess,
} from '../store/access-tokens.ts';
import { type Db, inTransaction, type Tx } from '../store/db.ts';
import { getDonor } from '../store/donors.ts';
import { getDriver } from '../store/drivers.ts';
import { appendEntry } from '../store/journal.ts';
import { getVan } from '../store/vans.ts';
import type { NewLink } from './access.ts';
import type { Context } from './context.ts';

export type CalendarOf = { readonly of: 'donor' | 'driver' | 'van'; readonly subjectId: string };

/** As long as a donor's link. */
const CALENDAR_LIFE_S: Seconds = 400 * 86_400;

/** A van is nobody: its calendar is the coordinator's, under the van's name. */
const VAN = 'van:';
const holderOf = ({ of, subjectId }: CalendarOf): { readonly role: Role; readonly subjectId: string } =>
  of === 'van' ? { role: 'coordinator', subjectId: `${VAN}${subjectId}` } : { role: of, subjectId };

/** Whose calendar a stored access opens. */
export const calendarOf = ({ role, subjectId }: Pick<Access, 'role' | 'subjectId'>): CalendarOf =>
  role === 'coordinator' ? { of: 'van', subjectId: subjectId.slice(VAN.length) } : { of: role, subjectId };

export type CalendarRefusal = { readonly kind: 'no-such-person' };

export function createCalendarLink(
  { store, now }: Context,
  request: CalendarOf & { readonly actor: string },
): Result<NewLink, CalendarRefusal> {
  return inTransaction(store, (tx) => {
    const label = nameOf(tx, request);
    if (label === undefined) return refuse({ kind: 'no-such-person' });
    const createdAt = now();
    endCalendars(tx, request, createdAt);
    const token = randomBytes(24).toString('base64url');
    const expiresAt = createdAt + CALENDAR_LIFE_S;
    const holder = holderOf(request);
    const { hash } = createAccessToken(tx, token, {
      ...holder,
      purpose: 'calendar',
      label,
      createdAt,
      expiresAt,
    });
    appendEntry(tx, {
      at: createdAt,
      kind: 'calendar-link-made',
      subject: `${request.of}:${request.subjectId}`,
      actor: request.actor,
      facts: { hash },
    });
    return ok({ label, token, hash, expiresAt });
  });
}

/** Says how many addresses were still open. */
export function withdrawCalendarLinks(
  { store, now }: Context,
  request: CalendarOf & { readonly actor: string },
): { readonly ended: number } {
  return inTransaction(store, (tx) => {
    const at = now();
    const ended = endCalendars(tx, request, at);
    if (ended > 0)
      appendEntry(tx, {
        at,
        kind: 'calendar-link-withdrawn',
        subject: `${request.of}:${request.subjectId}`,
        actor: request.actor,
        facts: { ended },
      });
    return { ended };
  });
}

export function findCalendar({ store, now }: Context, token: string): CalendarOf | undefined {
  const access = findAccess(store, token, now(), { purpose: 'calendar' });
  return access && calendarOf(access);
}

const endCalendars = (tx: Tx, request: CalendarOf, at: number): number =>
  listAccess(tx, { ...holderOf(request), purpose: 'calendar' }).reduce(
    (ended, { hash }) => ended + revokeAccess(tx, hash, at),
    0,
  );

const nameOf = (db: Db, { of, subjectId }: CalendarOf): string | undefined =>
  of === 'donor'
    ? getDonor(db, subjectId)?.name
    : (of === 'driver' ? getDriver(db, subjectId) : getVan(db, subjectId))?.name;
