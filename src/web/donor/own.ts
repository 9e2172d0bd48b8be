/** The site of an address, if it is one of this donor's own; and the answers where it is not. */
import type { Context } from 'hono';
import { refusePage } from '../shared/html-error.tsx';
import { idParam } from '../shared/ids.ts';
import type { SessionEnv } from '../shared/session.ts';
import { sayOf } from '../shared/speak.ts';
import type { DonorDeps } from './donor-deps.ts';
import type { DonorSiteView, DonorView } from './donor-view.ts';

export type Own = { readonly view: DonorView; readonly site: DonorSiteView };

export function ownSite(c: Context<SessionEnv>, deps: Pick<DonorDeps, 'readDonor' | 'now'>): Own | undefined {
  const siteId = idParam(c);
  const view = deps.readDonor(c.var.session.subjectId, deps.now());
  const site = view?.sites.find((own) => own.siteId === siteId);
  return view && site ? { view, site } : undefined;
}

type Refusal = keyof ReturnType<typeof sayOf>['booking']['refusals'];
const gone = (kind: 'no-such-site' | 'not-found', refusal: Refusal) => (c: Context<SessionEnv>) =>
  refusePage(c, kind, { detail: sayOf(c).booking.refusals[refusal], role: 'donor' });

export const noSite = gone('no-such-site', 'site-not-found');
export const noBooking = gone('not-found', 'booking-not-found');
export const noQuote = gone('not-found', 'quote-not-found');
