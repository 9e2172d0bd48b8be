/** Coming in by a private link, and leaving. Mount after `refuseForeignPosts`. */
import { type Context, Hono } from 'hono';
import { ROLES, type Role } from '../../core/vocabulary.ts';
import type { Say } from '../messages/say.ts';
import { refusePage } from './html-error.tsx';
import { Page } from './page.tsx';
import { type AccessDeps, endSession, HOME, startSession } from './session.ts';
import { sayOf } from './speak.ts';

const isRole = (text: string | undefined): text is Role => ROLES.some((role) => role === text);

type EntryProps = { readonly say: Say; readonly role: Role; readonly label: string };
const EntryPage = ({ say, role, label }: EntryProps) => (
  <Page title={say.entry.comeIn} say={say} width="narrow">
    <h1>{role === 'coordinator' ? say.entry.desk : say.entry.greeting(label)}</h1>
    <p class="lead">{say.entry.opens[role]}</p>
    <form method="post">
      <button class="primary" type="submit">
        {say.entry.comeIn}
      </button>
    </form>
    {role === 'coordinator' && <p class="hint">{say.entry.worksOnce}</p>}
    <p class="hint">{say.entry.staysSignedIn}</p>
  </Page>
);

export const SignInPage = ({ say, command }: { readonly say: Say; readonly command: string }) => (
  <Page title={say.entry.signIn} say={say} width="narrow">
    <h1>{say.entry.signIn}</h1>
    <p class="lead">{say.entry.noPasswords}</p>
    <dl class="pairs">
      <dt>{say.entry.coordinators}</dt>
      <dd>
        {say.entry.onTheMachine} <code>{command}</code>. {say.entry.printsLink}
      </dd>
      <dt>{say.entry.driversAndDonors}</dt>
      <dd>{say.entry.askCoordinator}</dd>
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
    .get('/sign-in', (c) => c.html(<SignInPage say={sayOf(c)} command={deps.linkCommand} />))
    .get('/enter/:role/:token', (c) => {
      const { role, token } = c.req.param();
      const link = isRole(role) ? deps.findLink(role, token) : undefined;
      return link && isRole(role)
        ? c.html(<EntryPage say={sayOf(c)} role={role} label={link.label} />)
        : spent(c);
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
