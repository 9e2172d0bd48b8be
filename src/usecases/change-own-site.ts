/** What a donor may say of a place of its own: days on which it is closed, how to get in, whom to ask. */
import type { Closure } from '../core/calendar/opening.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import { inTransaction, type Tx } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { type Contact, getSite, type Site, saveSite } from '../store/sites.ts';
import type { Context } from './context.ts';

type SiteOf = { readonly siteId: string; readonly actor: string };
type NoSite = { readonly kind: 'site-not-found' };
export type PauseRefusal = NoSite | { readonly kind: 'too-many-closures' };
type Answer<R> = Result<{ readonly siteId: string }, R>;

/** More than anybody has holidays: a page that lists them must end somewhere. */
const MOST_CLOSURES = 60;

/** Both days included. The same days again change nothing but the reason. */
export function pauseSite(
  { store, now }: Context,
  { siteId, actor, ...closure }: SiteOf & Closure,
): Answer<PauseRefusal> {
  return inTransaction(store, (tx): Answer<PauseRefusal> => {
    const site = getSite(tx, siteId);
    if (!site) return refuse({ kind: 'site-not-found' });
    const others = site.closures.filter((one) => !isSameSpan(one, closure));
    if (others.length === site.closures.length && others.length >= MOST_CLOSURES)
      return refuse({ kind: 'too-many-closures' });
    saveSite(tx, { ...site, closures: [...others, closure] });
    note(tx, now(), site, actor, 'site-paused', closure);
    return ok({ siteId });
  });
}

/** Days that were closed are open again; days that were not stay as they are. */
export function resumeSite(
  { store, now }: Context,
  { siteId, actor, ...span }: SiteOf & Pick<Closure, 'fromDay' | 'untilDay'>,
): Answer<NoSite> {
  return inTransaction(store, (tx): Answer<NoSite> => {
    const site = getSite(tx, siteId);
    if (!site) return refuse({ kind: 'site-not-found' });
    const closures = site.closures.filter((one) => !isSameSpan(one, span));
    if (closures.length === site.closures.length) return ok({ siteId });
    saveSite(tx, { ...site, closures });
    note(tx, now(), site, actor, 'site-resumed', span);
    return ok({ siteId });
  });
}

/** The first contact and the access notes; other contacts stay behind it. An empty name, phone and address take it out. */
export function changeContact(
  { store, now }: Context,
  {
    siteId,
    actor,
    contact,
    accessNotes,
  }: SiteOf & { readonly contact: Contact; readonly accessNotes: string },
): Answer<NoSite> {
  return inTransaction(store, (tx): Answer<NoSite> => {
    const site = getSite(tx, siteId);
    if (!site) return refuse({ kind: 'site-not-found' });
    const [before, ...others] = site.contacts;
    const isEmpty = contact.name === '' && contact.phone === '' && contact.email === '';
    const isSame =
      accessNotes === site.accessNotes &&
      (before ? JSON.stringify(before) === JSON.stringify(contact) : isEmpty);
    if (isSame) return ok({ siteId });
    saveSite(tx, { ...site, accessNotes, contacts: isEmpty ? others : [contact, ...others] });
    appendEntry(tx, {
      at: now(),
      kind: 'site-contact-changed',
      subject: `site:${siteId}`,
      actor,
      facts: { accessNotes },
    });
    return ok({ siteId });
  });
}

const isSameSpan = (
  a: Pick<Closure, 'fromDay' | 'untilDay'>,
  b: Pick<Closure, 'fromDay' | 'untilDay'>,
): boolean => a.fromDay === b.fromDay && a.untilDay === b.untilDay;

function note(
  tx: Tx,
  at: number,
  site: Site,
  actor: string,
  kind: 'site-paused' | 'site-resumed',
  { fromDay, untilDay }: Pick<Closure, 'fromDay' | 'untilDay'>,
): void {
  appendEntry(tx, { at, kind, subject: `site:${site.id}`, actor, facts: { fromDay, untilDay } });
}
