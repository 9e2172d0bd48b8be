/**
 * Private links and sessions. A coordinator's link works once; a driver's or a donor's is a lasting capability
 * that can be withdrawn. Links and sessions are random tokens of 128 bits, stored hashed.
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
  revokeAllAccess,
  revokeWithSessions,
} from '../store/access-tokens.ts';
import { type Db, inTransaction } from '../store/db.ts';
import { getDonor } from '../store/donors.ts';
import { getDriver } from '../store/drivers.ts';
import { appendEntry } from '../store/journal.ts';
import type { Context } from './context.ts';

export const COORDINATOR_SUBJECT = 'workshop';

const DAY_S: Seconds = 86_400;
/** A coordinator's link is used at once or not at all; others are kept on a phone. Local rules may be stricter. */
const LINK_LIFE_S: { readonly [role in Role]: Seconds } = {
  coordinator: DAY_S,
  driver: 90 * DAY_S,
  donor: 400 * DAY_S,
};
const SESSION_LIFE_S: { readonly [role in Role]: Seconds } = {
  coordinator: 14 * DAY_S,
  driver: 30 * DAY_S,
  donor: 90 * DAY_S,
};

const newToken = (): string => randomBytes(24).toString('base64url');

export type LinkRefusal = {
  readonly kind: 'no-such-person';
  readonly role: Role;
  readonly subjectId: string;
};
export type NewLink = {
  readonly label: string;
  readonly token: string;
  readonly hash: string;
  readonly expiresAt: number;
};

export function createLink(
  { store, now }: Context,
  request: {
    readonly role: Role;
    readonly subjectId: string;
    readonly actor: string;
    /** Whose link it is, where a donor has several people; else the donor's or driver's own name. */
    readonly person?: string;
  },
): Result<NewLink, LinkRefusal> {
  const { role, subjectId, actor } = request;
  return inTransaction(store, (tx) => {
    const name = nameOf(tx, role, subjectId);
    if (name === undefined) return refuse({ kind: 'no-such-person', role, subjectId });
    const label = request.person?.trim() || name;
    const createdAt = now();
    const token = newToken();
    const expiresAt = createdAt + LINK_LIFE_S[role];
    const access = { role, subjectId, purpose: 'link' as const, label, createdAt, expiresAt };
    const { hash } = createAccessToken(tx, token, access);
    appendEntry(tx, {
      at: createdAt,
      kind: 'link-made',
      subject: `${role}:${subjectId}`,
      actor,
      facts: { hash },
    });
    return ok({ label, token, hash, expiresAt });
  });
}

/** Withdraws a link or a session by its hash, with what was opened by it: a donor's other people stay in. */
export function revokeLink(
  { store, now }: Context,
  request: { readonly hash: string; readonly actor: string },
): Result<{ readonly ended: number }, { readonly kind: 'no-such-link' }> {
  return inTransaction(store, (tx) => {
    const link = listAccess(tx).find((access) => access.hash === request.hash);
    if (!link) return refuse({ kind: 'no-such-link' });
    const at = now();
    // A session made from the link would outlive it: a lost phone is shut out in one action.
    const ended =
      link.role === 'coordinator' || link.purpose === 'calendar'
        ? revokeAccess(tx, link.hash, at)
        : link.role === 'donor'
          ? revokeWithSessions(tx, link, at)
          : revokeAllAccess(tx, link.role, link.subjectId, at);
    const subject = `${link.role}:${link.subjectId}`;
    appendEntry(tx, { at, kind: 'link-withdrawn', subject, actor: request.actor, facts: { ended } });
    return ok({ ended });
  });
}

export const findLink = ({ store, now }: Context, role: Role, token: string): Access | undefined =>
  findAccess(store, token, now(), { role, purpose: 'link' });

export const findSession = ({ store, now }: Context, token: string): Access | undefined =>
  findAccess(store, token, now(), { purpose: 'session' });

/** Exchanges a link for a session; nothing when it is used, withdrawn, expired or unknown. */
export function enter(
  { store, now }: Context,
  role: Role,
  token: string,
): { readonly token: string; readonly expiresAt: number } | undefined {
  return inTransaction(store, (tx) => {
    const at = now();
    const link = findAccess(tx, token, at, { role, purpose: 'link' });
    if (!link) return undefined;
    if (role === 'coordinator') revokeAccess(tx, link.hash, at);
    const session = newToken();
    const expiresAt = at + SESSION_LIFE_S[role];
    createAccessToken(tx, session, {
      role,
      subjectId: link.subjectId,
      purpose: 'session',
      label: link.label,
      linkHash: link.hash,
      createdAt: at,
      expiresAt,
    });
    appendEntry(tx, {
      at,
      kind: 'entered',
      subject: `${role}:${link.subjectId}`,
      actor: link.label,
      facts: {},
    });
    return { token: session, expiresAt };
  });
}

export function leave({ store, now }: Context, token: string): void {
  inTransaction(store, (tx) => {
    const at = now();
    const session = findAccess(tx, token, at, { purpose: 'session' });
    if (!session) return;
    revokeAccess(tx, session.hash, at);
    const subject = `${session.role}:${session.subjectId}`;
    appendEntry(tx, { at, kind: 'left', subject, actor: session.label, facts: {} });
  });
}

function nameOf(db: Db, role: Role, subjectId: string): string | undefined {
  if (role === 'coordinator') return subjectId === COORDINATOR_SUBJECT ? 'Coordinator' : undefined;
  return role === 'driver' ? getDriver(db, subjectId)?.name : getDonor(db, subjectId)?.name;
}
