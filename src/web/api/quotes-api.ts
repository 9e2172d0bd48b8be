/** Quotes for extra collections, and taking an offer: what a donor's own link may ask at own sites. */
import { type OpenAPIHono, z } from '@hono/zod-openapi';
import { getQuote } from '../../store/quotes.ts';
import { getSite } from '../../store/sites.ts';
import { confirmExtraCollection } from '../../usecases/confirm-extra-collection.ts';
import { quoteExtraCollection } from '../../usecases/quote-extra-collection.ts';
import type { SessionEnv } from '../shared/session.ts';
import type { ApiDeps } from './api-deps.ts';
import { bookingOf } from './coordinator-api.ts';
import { idempotencyKey } from './idempotency.ts';
import { toJson } from './json.ts';
import { refuseFact } from './refuse-fact.ts';
import { declare } from './route.ts';
import * as s from './schemas.ts';

const ById = z.object({ id: s.Id });
const seconds = (iso: string): number => Math.floor(Date.parse(iso) / 1000);

const routes = {
  quote: declare({
    method: 'post',
    path: '/api/donor/quotes',
    operationId: 'quoteOwnCollection',
    summary:
      'Days and hours on which an extra collection is possible, with what each costs; holds ten minutes',
    tag: 'donor',
    status: 201,
    answer: s.Quote,
    body: s.BookingBody,
  }),
  change: declare({
    method: 'post',
    path: '/api/donor/bookings/{id}/quotes',
    operationId: 'quoteOwnChange',
    summary: 'The same for a booking that is to be changed; taking an offer changes it',
    tag: 'donor',
    status: 201,
    answer: s.Quote,
    params: ById,
    body: s.BookingBody,
  }),
  take: declare({
    method: 'post',
    path: '/api/donor/quotes/{id}/booking',
    operationId: 'takeOwnOffer',
    summary: 'Takes an offer; when it is gone, the problem holds a quote with what is left',
    keyed: true,
    tag: 'donor',
    status: 201,
    answer: s.TakenOffer,
    params: ById,
    body: s.TakeOfferBody,
  }),
};

export function quotesApi(app: OpenAPIHono<SessionEnv>, { context }: ApiDeps): void {
  const { store } = context;
  const owns = (donorId: string, siteId: string | undefined): boolean =>
    siteId !== undefined && getSite(store, siteId)?.donorId === donorId;
  const quoteFor = (donorId: string, body: z.output<typeof s.BookingBody>, changesId?: string) => {
    if (!owns(donorId, body.site_id)) return { ok: false, refusal: { kind: 'site-not-found' } } as const;
    const { factId: _, requestedBy: askedBy, ...facts } = bookingOf(body, '', `donor:${donorId}`);
    return quoteExtraCollection(context, {
      ...facts,
      askedBy,
      ...(changesId === undefined ? {} : { changesId }),
    });
  };

  app.openapi(routes.quote, (c) => {
    const quoted = quoteFor(c.var.session.subjectId, c.req.valid('json'));
    return quoted.ok
      ? c.json(toJson(quoted.value.quote) as z.output<typeof s.Quote>, 201)
      : (refuseFact(c, quoted.refusal) as never);
  });
  app.openapi(routes.change, (c) => {
    const quoted = quoteFor(c.var.session.subjectId, c.req.valid('json'), c.req.valid('param').id);
    return quoted.ok
      ? c.json(toJson(quoted.value.quote) as z.output<typeof s.Quote>, 201)
      : (refuseFact(c, quoted.refusal) as never);
  });
  app.openapi(routes.take, (c) => {
    const factId = idempotencyKey(c);
    if (typeof factId !== 'string') return factId as never;
    const donorId = c.var.session.subjectId;
    const quoteId = c.req.valid('param').id;
    if (!owns(donorId, getQuote(store, quoteId)?.siteId))
      return refuseFact(c, { kind: 'quote-not-found' }) as never;
    const slotFromAt = seconds(c.req.valid('json').from_at);
    const taken = confirmExtraCollection(context, { factId, quoteId, slotFromAt, actor: `donor:${donorId}` });
    if (!taken.ok) return refuseFact(c, taken.refusal) as never;
    const { bookingId, ...booking } = taken.value;
    return c.json(toJson({ id: bookingId, ...booking }) as z.output<typeof s.TakenOffer>, 201);
  });
}
