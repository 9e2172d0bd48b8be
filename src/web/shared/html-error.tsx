/** What a person reads when a page cannot be shown: what happened, and what to do next. */
import type { Context } from 'hono';
import type { Role } from '../../core/vocabulary.ts';
import type { Say } from '../messages/say.ts';
import { Page } from './page.tsx';
import { PROBLEMS, type ProblemKind, problem } from './problem.ts';
import { sayOf } from './speak.ts';

/** What only a coordinator can meet; the rest is in the messages, in each language. */
const AT_THE_DESK: { readonly [kind in ProblemKind]?: string } = {
  'no-such-plan': 'Plans are kept, so the address is probably mistyped. The week sheet shows the newest one.',
  'no-such-planning-run':
    'Runs are forgotten when the server starts anew. If it kept a draft, the week sheet shows it.',
  'no-such-weigh-in': 'The address may be mistyped. The page of a site lists its weigh-ins.',
};

type Known = keyof Say['errors'];
const wordsFor = (
  kind: ProblemKind,
  { errors }: Say,
): { readonly title: string; readonly sentence?: string } =>
  kind in errors
    ? errors[kind as Known]
    : { title: PROBLEMS[kind].title, ...(AT_THE_DESK[kind] ? { sentence: AT_THE_DESK[kind] } : {}) };

/** Paths answered in JSON; all others are pages. */
const wantsJson = (c: Context): boolean => c.req.path.startsWith('/api/');

export type ErrorPageProps = {
  readonly say: Say;
  readonly kind: ProblemKind;
  /** A sentence about this very case, instead of the general one. */
  readonly detail?: string | undefined;
  readonly role?: Role | undefined;
  readonly back?: { readonly path: string; readonly label: string } | undefined;
};

export const ErrorPage = ({ say, kind, detail, role, back }: ErrorPageProps) => {
  const { status } = PROBLEMS[kind];
  const { title, sentence: general } = wordsFor(kind, say);
  const sentence = detail ?? general;
  return (
    <Page title={title} say={say} width="narrow" live={false} {...(role ? { role } : {})}>
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
export function refusePage(c: Context, kind: ProblemKind, extra: Omit<ErrorPageProps, 'kind' | 'say'> = {}) {
  if (wantsJson(c)) return problem(c, kind, extra.detail ? { detail: extra.detail } : {});
  return c.html(<ErrorPage say={sayOf(c)} kind={kind} {...extra} />, PROBLEMS[kind].status);
}
