/**
 * The frame of every page: skip link, masthead with a role's own navigation, a line for what has just happened,
 * the page itself, a foot. A view in, markup out; it loads the stylesheet and the scripts it names. Every page works without them.
 */

import { raw } from 'hono/html';
import type { Child } from 'hono/jsx';
import type { Role } from '../../core/vocabulary.ts';
import { LANGUAGE_NAMES, LANGUAGES } from '../messages/language.ts';
import { type Say, sayIn } from '../messages/say.ts';
import { clientScript } from './client-bundle.ts';
import { type Live, LiveLine } from './live-line.tsx';
import { inboxCount } from './masthead-news.ts';
import { STYLESHEET_PATH } from './styles.ts';

export type Notice = {
  /** `done` is said politely (role=status), `warning` at once (role=alert). */
  readonly kind: 'done' | 'warning';
  readonly text: string;
};

export type PageProps = {
  readonly title: string;
  /** The language of the page and of what stands around it; English where nothing is said. */
  readonly say?: Say;
  /** Where the same page is to be had by GET, for the link to another language; this very address where left out. */
  readonly languagePath?: string;
  /** Whose navigation to show; none on the sign-in and error pages. */
  readonly role?: Role;
  /** Where we are, as the path of a navigation entry: `/week`. */
  readonly here?: string;
  /** The workshop's name, for the masthead. */
  readonly workshop?: string;
  readonly notice?: Notice | undefined;
  /** What stands in the coordinator's search box. */
  readonly searched?: string;
  /** Loads itself again after so many seconds, without a script: only for a page on which nothing can be lost. */
  readonly refreshS?: number;
  /** Entries of `src/web/client` that make this page quicker to the hand. */
  readonly scripts?: readonly string[];
  /** How the page hears of what happens while it is open; `false` where that would only be in the way. */
  readonly live?: Live | false;
  /** `sheet` uses the whole width (the week sheet), `page` a column to read, `narrow` a form or a phone page. */
  readonly width?: 'sheet' | 'page' | 'narrow';
  readonly children?: Child;
};

type Entry = { readonly path: string; readonly label: string };

const navigation = ({ frame }: Say): { readonly [role in Role]: readonly Entry[] } => ({
  coordinator: [
    { path: '/week', label: 'Week' },
    { path: '/inbox', label: 'Inbox' },
    { path: '/map', label: 'Map' },
    { path: '/sites', label: 'Sites' },
    { path: '/production', label: 'Production' },
    { path: '/fleet', label: 'Vans' },
    { path: '/journal', label: 'Journal' },
    { path: '/links', label: 'Links' },
    { path: '/settings', label: 'Settings' },
    { path: '/worth', label: 'Worth' },
  ],
  driver: [{ path: '/driver', label: frame.navigation.driver }],
  donor: [{ path: '/donor', label: frame.navigation.donor }],
});

const FOOT_OF_DESK =
  'Every estimate is a range: the line is the middle, the film around it holds four chances out of five.';
const footOf = (role: Role | undefined, { frame }: Say): string => {
  if (role === undefined) return frame.purpose;
  return role === 'coordinator' ? FOOT_OF_DESK : frame.foot[role];
};

/** The whole document. Give it to `c.html`. */
export const Page = ({
  title,
  say = sayIn('en'),
  languagePath = '',
  role,
  here,
  workshop,
  notice,
  searched = '',
  width = 'page',
  refreshS,
  scripts = [],
  live = {},
  children,
}: PageProps) => (
  <>
    {raw('<!doctype html>')}
    <html lang={say.language}>
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        {refreshS !== undefined && <meta http-equiv="refresh" content={String(refreshS)} />}
        <title>{workshop ? `${title} · ${workshop}` : `${title} · Feedround`}</title>
        <link rel="stylesheet" href={STYLESHEET_PATH} />
        <link rel="icon" href="/assets/mark.svg" type="image/svg+xml" />
        {role === 'driver' && <link rel="manifest" href="/driver.webmanifest" />}
        {['forms', ...scripts].map((name) => (
          <script type="module" src={clientScript(name)} />
        ))}
      </head>
      <body class={`on-${width}`}>
        <a class="skip" href="#main">
          {say.frame.skip}
        </a>
        <header class="masthead">
          <p class="masthead-name">
            <Mark />
            <span>{workshop ?? 'Feedround'}</span>
          </p>
          {role && (
            <nav aria-label={say.frame.main}>
              <ul>
                {navigation(say)[role].map(({ path, label }) => (
                  <li>
                    <a href={path} aria-current={path === here ? 'page' : undefined}>
                      {label}
                      {path === '/inbox' && <InboxCount />}
                    </a>
                  </li>
                ))}
              </ul>
            </nav>
          )}
          {role === 'coordinator' && <SearchBox text={searched} />}
          {role && (
            <form class="leave" method="post" action="/leave">
              <input type="hidden" name="role" value={role} />
              <button class="quiet" type="submit">
                {say.frame.leave}
              </button>
            </form>
          )}
        </header>
        <main id="main" tabindex={-1}>
          {notice && <NoticeLine notice={notice} />}
          {children}
        </main>
        {role && live && refreshS === undefined && <LiveLine {...{ role, say, live }} />}
        <footer class="foot">
          <p>{footOf(role, say)}</p>
          {role !== 'coordinator' && <OtherLanguages say={say} path={languagePath} />}
        </footer>
      </body>
    </html>
  </>
);

/** Each language in its own words; only for pages that are to be had in more than one. */
const OtherLanguages = ({ say, path }: { readonly say: Say; readonly path: string }) => (
  <nav class="languages" aria-label={say.frame.otherLanguage}>
    {LANGUAGES.filter((language) => language !== say.language).map((language) => (
      <a href={`${path}?lang=${language}`} lang={language} hreflang={language}>
        {LANGUAGE_NAMES[language]}
      </a>
    ))}
  </nav>
);

const SearchBox = ({ text }: { readonly text: string }) => (
  <search class="masthead-search on-screen">
    <form method="get" action="/search">
      <input
        name="q"
        type="search"
        value={text}
        placeholder="Search"
        aria-label="Search sites, donors, grades, days"
      />
    </form>
  </search>
);

/** How much waits for a person; nothing where nothing does. */
const InboxCount = () => {
  const count = inboxCount();
  return count === 0 ? null : (
    <b class="nav-count">
      {count} <span class="unseen">{count === 1 ? 'thing waits' : 'things wait'}</span>
    </b>
  );
};

export const NoticeLine = ({ notice }: { readonly notice: Notice }) => (
  <p class={`notice notice-${notice.kind}`} role={notice.kind === 'done' ? 'status' : 'alert'}>
    {notice.text}
  </p>
);

/** The workshop's mark: a ring of film with one stop on it. Decoration only. */
const Mark = () => (
  <svg class="mark" viewBox="0 0 32 32" width="22" height="22" aria-hidden="true" focusable="false">
    <path class="mark-ring" d="M16 4a12 12 0 1 1-8.5 3.5" />
    <circle class="mark-stop" cx="16" cy="4.5" r="4" />
  </svg>
);

export type FieldProps = {
  readonly name: string;
  readonly label: string;
  /** A hint under the label: what is expected, with the unit. */
  readonly hint?: string;
  readonly typed?: string | undefined;
  readonly error?: string | undefined;
  readonly type?: 'text' | 'search' | 'number' | 'date' | 'time' | 'email' | 'tel';
  readonly inputmode?: 'numeric' | 'decimal' | 'text';
  readonly required?: boolean;
  readonly autocomplete?: string;
};

/** A labelled input with its hint and its error tied to it, filled with what was typed. */
export const Field = ({ name, label, hint, typed = '', error, type = 'text', ...rest }: FieldProps) => {
  const about = [hint && `${name}-hint`, error && `${name}-error`].filter(Boolean).join(' ');
  return (
    <div class={error ? 'field field-wrong' : 'field'}>
      <label for={name}>{label}</label>
      {hint && (
        <p class="hint" id={`${name}-hint`}>
          {hint}
        </p>
      )}
      <input
        id={name}
        name={name}
        type={type}
        value={typed}
        aria-describedby={about || undefined}
        aria-invalid={error ? 'true' : undefined}
        {...rest}
      />
      {error && (
        <p class="field-error" id={`${name}-error`}>
          {error}
        </p>
      )}
    </div>
  );
};
