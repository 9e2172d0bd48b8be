/**
 * Who is asking, and whether they may.
 *
 * People enter by a private link, `/enter/:role/:token`. Opening it shows a page with one button; only the button
 * (a POST) exchanges the link for a session, so that a mail scanner that opens every link cannot use one up
 * (OWASP ASVS 5.0, 6.5.1). Whether a link may be exchanged again is for `AccessDeps.enter` to say: a coordinator's
 * works once, a driver's or a donor's is a lasting capability that can be withdrawn.
 *
 * One cookie per role, so that a person who is both coordinator and driver does not push herself out.
 * `defaultDeny` comes before all routes: a path that no rule opens is the coordinator's.
 */
import type { Context, MiddlewareHandler } from 'hono';
import { deleteCookie, getCookie, setCookie } from 'hono/cookie';
import type { Instant } from '../../core/quantity/units.ts';
import { ROLES, type Role } from '../../core/vocabulary.ts';
import { refusePage } from './html-error.tsx';

export type Session = {
  readonly role: Role;
  /** The driver's or the donor's id; the word `workshop` for a coordinator. */
  readonly subjectId: string;
  /** What to call this person on a page. */
  readonly label: string;
  readonly expiresAt: Instant;
};

/** What the pages need to know of links and sessions; tokens are plain here, hashed behind it. */
export type AccessDeps = {
  /** Where people reach us, `https://film.example` or `http://localhost:4180`: cookies are Secure under https. */
  readonly origin: string;
  readonly now: () => Instant;
  /** The session behind a cookie or a bearer token, unless it has ended. */
  readonly findSession: (token: string) => Session | undefined;
  /** Whom a link would let in, without using it. */
  readonly findLink: (role: Role, token: string) => { readonly label: string } | undefined;
  /** Exchanges a link for a new session, or refuses (used, withdrawn, expired, unknown). */
  readonly enter: (
    role: Role,
    token: string,
  ) => { readonly token: string; readonly expiresAt: Instant } | undefined;
  readonly leave: (token: string) => void;
};

export type SessionEnv = { Variables: { session: Session } };

/** Where each role starts. */
export const HOME: { readonly [role in Role]: string } = {
  coordinator: '/week',
  driver: '/driver',
  donor: '/donor',
};

const isSecure = (access: AccessDeps): boolean => access.origin.startsWith('https:');
/** Under https the `__Host-` prefix ties the cookie to this very host (RFC 6265bis, 4.1.3.2). */
const cookieName = (access: AccessDeps, role: Role): string =>
  `${isSecure(access) ? '__Host-' : ''}feedround-${role}`;

const BEARER = /^Bearer ([A-Za-z0-9_-]{16,128})$/;
const bearerOf = (c: Context): string | undefined => BEARER.exec(c.req.header('authorization') ?? '')?.[1];

export function sessionOf(c: Context, access: AccessDeps, role: Role): Session | undefined {
  const token = bearerOf(c) ?? getCookie(c, cookieName(access, role));
  const session = token === undefined ? undefined : access.findSession(token);
  return session?.role === role && session.expiresAt > access.now() ? session : undefined;
}

export function startSession(c: Context, access: AccessDeps, role: Role, token: string, expiresAt: Instant) {
  setCookie(c, cookieName(access, role), token, {
    path: '/',
    httpOnly: true,
    sameSite: 'Lax',
    secure: isSecure(access),
    maxAge: Math.max(0, Math.floor(expiresAt - access.now())),
  });
}

export function endSession(c: Context, access: AccessDeps, role: Role) {
  const token = getCookie(c, cookieName(access, role));
  if (token !== undefined) access.leave(token);
  deleteCookie(c, cookieName(access, role), { path: '/', secure: isSecure(access) });
}

/** Lets one role through and leaves its session in `c.var.session`. */
export const requireRole =
  (access: AccessDeps, role: Role): MiddlewareHandler<SessionEnv> =>
  async (c, next) => {
    const session = sessionOf(c, access, role);
    if (!session) {
      const elsewhere = ROLES.some((other) => other !== role && sessionOf(c, access, other));
      return refusePage(c, elsewhere ? 'not-yours' : 'sign-in-needed');
    }
    c.set('session', session);
    return next();
  };

type Rule = { readonly path: RegExp; readonly for: Role | 'all' };

/** First fit decides; what fits none is the coordinator's. */
const RULES: readonly Rule[] = [
  { path: /^\/(assets|enter|problems|feeds|your-mail)\//, for: 'all' },
  {
    path: /^\/(sign-in|leave|health|request|api\/openapi\.json|driver-worker\.js|driver\.webmanifest)$/,
    for: 'all',
  },
  { path: /^\/(api\/|live\/)?driver(\/|$)/, for: 'driver' },
  { path: /^\/(api\/|live\/)?donor(\/|$)/, for: 'donor' },
];

export const whoMay = (path: string): Role | 'all' =>
  RULES.find((rule) => rule.path.test(path))?.for ?? 'coordinator';

/** Put first on the app: nobody has to remember to guard a route. */
export const defaultDeny =
  (access: AccessDeps): MiddlewareHandler<SessionEnv> =>
  async (c, next) => {
    const who = whoMay(c.req.path);
    return who === 'all' ? next() : requireRole(access, who)(c, next);
  };

const SAFE_METHODS = ['GET', 'HEAD', 'OPTIONS'];

/**
 * Whether a changing request comes from our own pages. Browsers say so in `Sec-Fetch-Site` (sent to trustworthy
 * addresses only) and in `Origin`; SameSite cookies alone do not stop a neighbour on the same domain.
 * A bearer token is proof in itself: no browser adds one unasked.
 */
export function isOwnRequest(c: Context, access: AccessDeps): boolean {
  if (SAFE_METHODS.includes(c.req.method) || bearerOf(c)) return true;
  // Mail programs post there (RFC 8058), and the address itself is the proof: no cookie counts.
  if (c.req.path.startsWith('/your-mail/')) return true;
  const site = c.req.header('sec-fetch-site');
  if (site !== undefined) return site === 'same-origin';
  const origin = c.req.header('origin');
  if (origin === undefined) return false;
  return origin === access.origin || origin === new URL(c.req.url).origin;
}

export const refuseForeignPosts =
  (access: AccessDeps): MiddlewareHandler =>
  async (c, next) =>
    isOwnRequest(c, access) ? next() : refusePage(c, 'foreign-origin');
