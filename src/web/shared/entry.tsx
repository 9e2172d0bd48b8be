/** Coming in by a private link, and leaving. Mount after `refuseForeignPosts`. */
import { type Context, Hono } from 'hono';
import { ROLES, type Role } from '../../core/vocabulary.ts';
import { refusePage } from './html-error.tsx';
import { Page } from './page.tsx';
import { type AccessDeps, endSession, HOME, startSession } from './session.ts';

const OPENS: { readonly [role in Role]: string } = {
  coordinator:
    'This link opens the week sheet, the register of sites, production and the links of everyone else.',
  driver:
    'This link opens your run sheet: the stops of today’s round in order, and a place to hand in what you find.',
  donor:
    'This link opens your own page: when we come next, how full we think it is, and a way to ask us to come sooner.',
};

const isRole = (text: string | undefined): text is Role => ROLES.some((role) => role === text);

const EntryPage = ({ role, label }: { readonly role: Role; readonly label: string }) => (
  <Page title="Come in" width="narrow">
    <h1>{role === 'coordinator' ? 'The coordinator’s desk' : `Good to see you, ${label}`}</h1>
    <p class="lead">{OPENS[role]}</p>
    <form method="post">
      <button class="primary" type="submit">
        Come in
      </button>
    </form>
    {role === 'coordinator' && (
      <p class="hint">This link works once: after you have come in, it opens nothing any more.</p>
    )}
    <p class="hint">This device stays signed in until you leave. Do not use it on a shared computer.</p>
  </Page>
);

export const SignInPage = ({ command }: { readonly command: string }) => (
  <Page title="Sign in" width="narrow">
    <h1>Sign in</h1>
    <p class="lead">There are no passwords here. Everyone comes in by a private link.</p>
    <dl class="pairs">
      <dt>Coordinators</dt>
      <dd>
        On the machine that runs Feedround: <code>{command}</code>. It prints a link that works once.
      </dd>
      <dt>Drivers and donors</dt>
      <dd>Ask the coordinator. A new link takes a minute to make, and the old one can be withdrawn.</dd>
    </dl>
  </Page>
);

export type EntryDeps = AccessDeps & {
  /** The command that prints a coordinator's link. */
  readonly linkCommand: string;
};

export const entryPages = (deps: EntryDeps): Hono => {
  /** A link that cannot be used says the same whatever is wrong with it. */
  const spent = (c: Context) => refusePage(c, 'link-spent');
  return new Hono()
    .get('/sign-in', (c) => c.html(<SignInPage command={deps.linkCommand} />))
    .get('/enter/:role/:token', (c) => {
      const { role, token } = c.req.param();
      const link = isRole(role) ? deps.findLink(role, token) : undefined;
      return link && isRole(role) ? c.html(<EntryPage role={role} label={link.label} />) : spent(c);
    })
    .post('/enter/:role/:token', (c) => {
      const { role, token } = c.req.param();
      if (!isRole(role)) return spent(c);
      const session = deps.enter(role, token);
      if (!session) return spent(c);
      startSession(c, deps, role, session.token, session.expiresAt);
      return c.redirect(HOME[role], 303);
    })
    .post('/leave', async (c) => {
      const role = (await c.req.parseBody())['role'];
      if (typeof role === 'string' && isRole(role)) endSession(c, deps, role);
      return c.redirect('/sign-in', 303);
    });
};
