/**
 * Capability links and sessions. Only the SHA-256 of a token is kept, so that who reads the database file cannot
 * act with it; a token has 128 random bits, so a plain hash needs no salt (OWASP ASVS 5.0, 6.5.2).
 */
import { createHash } from 'node:crypto';
import { and, asc, eq, gt, isNull, lte, or, type SQL } from 'drizzle-orm';
import { accessTokens } from '../../db/schema.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { Role } from '../core/vocabulary.ts';
import type { Db, Tx } from './db.ts';

export type TokenPurpose = 'link' | 'session' | 'calendar';

export type Access = {
  /** Names the row, for revoking; of no use to get in. */
  readonly hash: string;
  readonly role: Role;
  /** The driver or donor it belongs to; the word `workshop` for a coordinator, `van:…` for a van's calendar. */
  readonly subjectId: string;
  readonly purpose: TokenPurpose;
  readonly label: string;
  /** Of a session: the link it was opened with; null in links, and in sessions from before this was kept. */
  readonly linkHash: string | null;
  readonly createdAt: Instant;
  readonly expiresAt: Instant;
  readonly revokedAt: Instant | null;
};

const hashOf = (token: string): string => createHash('sha256').update(token).digest('base64url');

/** Shorter tokens could be guessed: 22 characters of base64url are 128 bits. */
const MIN_TOKEN_CHARACTERS = 22;

/** @throws RangeError when the token is too short to be safe. */
export function createAccessToken(
  tx: Tx,
  token: string,
  access: Omit<Access, 'hash' | 'revokedAt' | 'linkHash'> & { readonly linkHash?: string },
): Access {
  if (token.length < MIN_TOKEN_CHARACTERS)
    throw new RangeError(`a token of ${token.length} characters can be guessed; use ${MIN_TOKEN_CHARACTERS}`);
  const row: Access = { linkHash: null, ...access, hash: hashOf(token), revokedAt: null };
  tx.insert(accessTokens).values(row).run();
  return row;
}

/** What the token opens at `at`, if it is known, not revoked and not over; a role narrows it further. */
export const findAccess = (
  db: Db,
  token: string,
  at: Instant,
  wanted: { readonly role?: Role; readonly purpose?: TokenPurpose } = {},
): Access | undefined =>
  db
    .select()
    .from(accessTokens)
    .where(
      and(
        eq(accessTokens.hash, hashOf(token)),
        isNull(accessTokens.revokedAt),
        lte(accessTokens.createdAt, at),
        gt(accessTokens.expiresAt, at),
        wanted.role === undefined ? undefined : eq(accessTokens.role, wanted.role),
        wanted.purpose === undefined ? undefined : eq(accessTokens.purpose, wanted.purpose),
      ),
    )
    .get();

/** By creation; revoked and expired ones too. */
export const listAccess = (
  db: Db,
  wanted: { readonly role?: Role; readonly subjectId?: string; readonly purpose?: TokenPurpose } = {},
): Access[] =>
  db
    .select()
    .from(accessTokens)
    .where(
      and(
        wanted.role === undefined ? undefined : eq(accessTokens.role, wanted.role),
        wanted.subjectId === undefined ? undefined : eq(accessTokens.subjectId, wanted.subjectId),
        wanted.purpose === undefined ? undefined : eq(accessTokens.purpose, wanted.purpose),
      ),
    )
    .orderBy(asc(accessTokens.createdAt), asc(accessTokens.hash))
    .all();

export const revokeAccess = (tx: Tx, hash: string, at: Instant): number =>
  revokeWhere(tx, eq(accessTokens.hash, hash), at);
/** A link, and the sessions that were opened with it; those that do not say which end with any link of the person. */
export const revokeWithSessions = (tx: Tx, { hash, role, subjectId }: Access, at: Instant): number =>
  revokeWhere(
    tx,
    or(
      eq(accessTokens.hash, hash),
      eq(accessTokens.linkHash, hash),
      and(
        eq(accessTokens.role, role),
        eq(accessTokens.subjectId, subjectId),
        eq(accessTokens.purpose, 'session'),
        isNull(accessTokens.linkHash),
      ),
    ),
    at,
  );
/** All links and sessions of a person; says how many were still open. */
export const revokeAllAccess = (tx: Tx, role: Role, subjectId: string, at: Instant): number =>
  revokeWhere(tx, and(eq(accessTokens.role, role), eq(accessTokens.subjectId, subjectId)), at);

/** Sessions that ended before `before` are of no use to anybody; links stay as a record. */
export const deleteEndedSessions = (tx: Tx, before: Instant): number =>
  tx
    .delete(accessTokens)
    .where(
      and(
        eq(accessTokens.purpose, 'session'),
        or(lte(accessTokens.expiresAt, before), lte(accessTokens.revokedAt, before)),
      ),
    )
    .run().changes;

const revokeWhere = (tx: Tx, where: SQL | undefined, at: Instant): number =>
  tx
    .update(accessTokens)
    .set({ revokedAt: at })
    .where(and(where, isNull(accessTokens.revokedAt)))
    .run().changes;
