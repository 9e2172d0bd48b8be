/**
 * The quiet line at the foot of an open page that says what has happened since it was loaded. `client/live.ts` fills
 * it; without scripts it is not there.
 */
import type { MiddlewareHandler } from 'hono';
import { tryGetContext } from 'hono/context-storage';
import type { Role } from '../../core/vocabulary.ts';
import type { Store } from '../../store/db.ts';
import { lastSeq } from '../../store/journal.ts';
import type { Say } from '../messages/say.ts';
import { clientScript } from './client-bundle.ts';

export type Live = {
  /**
   * `line`: a person decides when to look; `itself`: the page follows, as nothing can be lost on it; `script`: a script of
   * the page shows it, called by the event `feedround-news`.
   */
  readonly how?: 'line' | 'itself' | 'script';
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
const shownSeq = (): number | undefined => tryGetContext<LiveEnv>()?.var.shownSeq;

export const LIVE_PATH: { readonly [role in Role]: string } = {
  coordinator: '/live',
  driver: '/live/driver',
  donor: '/live/donor',
};
export const LiveLine = ({
  role,
  say: { live: said },
  live: { how = 'line', about = '' },
}: {
  readonly role: Role;
  readonly say: Say;
  readonly live: Live;
}) => {
  const afterSeq = shownSeq();
  if (afterSeq === undefined) return null;
  return (
    <>
      <script type="module" src={clientScript('live')} />
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
        <p class="live-more" data-one={said.oneMore} data-many={said.more} />
        <p class="live-reset" data-text={said.reset} />
        <p class="live-do">
          <a href="#main">{said.show}</a>
          <a href="#main" class="live-beside" target="_blank" rel="noopener">
            {said.beside}
          </a>
          <button type="button" class="quiet">
            {said.notNow}
          </button>
        </p>
      </template>
    </>
  );
};
