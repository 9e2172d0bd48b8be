/**
 * The quiet line at the foot of an open page that says what has happened since it was loaded. `client/live.ts` fills
 * it; without scripts it is not there.
 */
import type { MiddlewareHandler } from 'hono';
import { tryGetContext } from 'hono/context-storage';
import type { Role } from '../../core/vocabulary.ts';
import type { Store } from '../../store/db.ts';
import { lastSeq } from '../../store/journal.ts';

export type Live = {
  /** `line`: a person decides when to look; `itself`: the page follows, as nothing can be lost on it. */
  readonly how?: 'line' | 'itself';
  /** Only what is about this (`site:abc`), and new plans. */
  readonly about?: string;
};

type LiveEnv = { Variables: { shownSeq?: number } };

/** Takes down, before a page is read, how far the journal went: the line tells of everything after it. */
export const liveFrom =
  (store: Store): MiddlewareHandler<LiveEnv> =>
  async (c, next) => {
    // The answer to a form is not loaded anew: it would be sent a second time.
    if (c.req.method === 'GET') c.set('shownSeq', lastSeq(store));
    await next();
  };

/** Nothing where a page is shown outside of a request, as in tests. */
export const shownSeq = (): number | undefined => tryGetContext<LiveEnv>()?.var.shownSeq;

export const LIVE_PATH: { readonly [role in Role]: string } = {
  coordinator: '/live',
  driver: '/live/driver',
  donor: '/live/donor',
};
const THING: { readonly [role in Role]: string } = { coordinator: 'page', driver: 'sheet', donor: 'page' };

export const LiveLine = ({
  role,
  afterSeq,
  live: { how = 'line', about = '' },
}: {
  readonly role: Role;
  readonly afterSeq: number;
  readonly live: Live;
}) => (
  <>
    <div
      id="live"
      class="live on-screen"
      role="status"
      data-address={LIVE_PATH[role]}
      data-after={afterSeq}
      data-about={about}
      data-how={how}
    />
    <template id="live-words">
      <p class="live-said">
        <time /> <span class="live-text" />
      </p>
      <p class="live-more" data-one="and one thing more" data-many="and {n} things more" />
      <p class="live-reset" data-text={`Much has happened since this ${THING[role]} was loaded.`} />
      <p class="live-do">
        <a href="#main">Show the {THING[role]} as it is now</a>
        <a href="#main" class="live-beside" target="_blank" rel="noopener">
          What you typed stays here: show the {THING[role]} as it is now in another tab
        </a>
        <button type="button" class="quiet">
          Not now
        </button>
      </p>
    </template>
  </>
);
