/** What a person reads when a page cannot be shown: what happened, and what to do next. */
import type { Context } from 'hono';
import type { Role } from '../../core/vocabulary.ts';
import { Page } from './page.tsx';
import { PROBLEMS, type ProblemKind, problem } from './problem.ts';

const WHAT_NOW: { readonly [kind in ProblemKind]?: string } = {
  'sign-in-needed':
    'This page opens with a private link. If yours no longer works, ask the workshop for a new one.',
  'not-yours': 'You are signed in, but this page belongs to someone else.',
  'foreign-origin':
    'For your safety we only take forms from our own pages. Open the page again and send it from there.',
  'not-found': 'The address may be mistyped, or the page may be gone.',
  'no-such-site': 'It may have been removed from the register. The list of sites has all that are there.',
  'no-such-plan': 'Plans are kept, so the address is probably mistyped. The week sheet shows the newest one.',
  'no-such-planning-run':
    'Runs are forgotten when the server starts anew. If it kept a draft, the week sheet shows it.',
  'no-such-round': 'The plan it belonged to may have been replaced. The week sheet shows the newest one.',
  'no-such-weigh-in': 'The address may be mistyped. The page of a site lists its weigh-ins.',
  'link-spent': 'Ask the workshop for a new link.',
  internal:
    'It is not your doing, and nothing you sent was half kept. Try again; if it happens twice, tell us.',
  busy: 'Another change is being written. Go back and send it again.',
};

/** Paths answered in JSON; all others are pages. */
const wantsJson = (c: Context): boolean => c.req.path.startsWith('/api/');

export type ErrorPageProps = {
  readonly kind: ProblemKind;
  /** A sentence about this very case, instead of the general one. */
  readonly detail?: string | undefined;
  readonly role?: Role | undefined;
  readonly back?: { readonly path: string; readonly label: string } | undefined;
};

export const ErrorPage = ({ kind, detail, role, back }: ErrorPageProps) => {
  const { status, title } = PROBLEMS[kind];
  const sentence = detail ?? WHAT_NOW[kind];
  return (
    <Page title={title} width="narrow" live={false} {...(role ? { role } : {})}>
      <p class="kicker">{status}</p>
      <h1>{title}</h1>
      {sentence && <p class="lead">{sentence}</p>}
      {back && (
        <p>
          <a href={back.path}>{back.label}</a>
        </p>
      )}
    </Page>
  );
};

/** The refusal in the form the caller reads: a problem document under `/api/`, a page elsewhere. */
export function refusePage(c: Context, kind: ProblemKind, extra: Omit<ErrorPageProps, 'kind'> = {}) {
  if (wantsJson(c)) return problem(c, kind, extra.detail ? { detail: extra.detail } : {});
  return c.html(<ErrorPage kind={kind} {...extra} />, PROBLEMS[kind].status);
}
