/** Asking for a collection without a link: open to everybody, and guarded as such. */
import { type Context, Hono } from 'hono';
import { z } from 'zod';
import { addDays, localOf, localText, readInstant } from '../../core/calendar/zone.ts';
import type { Instant } from '../../core/quantity/units.ts';
import { EVENT_KINDS } from '../../core/vocabulary.ts';
import type { NewPlace } from '../../usecases/request-place.ts';
import type { Say } from '../messages/say.ts';
import { readTyped, type Typed } from '../shared/form.ts';
import type { FormGuard } from '../shared/form-guard.ts';
import { refusePage } from '../shared/html-error.tsx';
import { Id } from '../shared/ids.ts';
import { sayOf } from '../shared/speak.ts';
import type { DonorWorkshop } from './donor-view.ts';
import { RequestDonePage, RequestPage } from './request-page.tsx';

export type RequestDeps = {
  now(): Instant;
  newId(): string;
  /** Nothing before a workshop is there. */
  readWorkshop(): DonorWorkshop | undefined;
  requestPlace(place: NewPlace): void;
  readonly guard: FormGuard;
  /** Where the request comes from. */
  addressOf(c: Context): string;
};

type Wrong = keyof Say['request']['wrong'];
const said = (wrong: Wrong): Wrong => wrong;
const text = (most: number) => z.string().trim().min(1, said('missing')).max(most, said('long'));
const PlaceForm = z.object({
  name: text(100),
  contact: text(120),
  place: text(300),
  eventKind: z.enum(EVENT_KINDS, said('event')),
  eventEndsLocal: z.string(),
  sacks: z
    .string()
    .trim()
    .transform((typed) => typed.replace(',', '.'))
    .pipe(z.string().regex(/^\d{1,4}(\.\d)?$/, said('sacks')))
    .transform(Number)
    .pipe(z.number().gt(0, said('sacks'))),
  untilDay: z.iso.date(said('until')),
  remarks: z.string().trim().max(1000, said('long')).default(''),
});
const YEAR_S = 366 * 86_400;
/** What is likely for most: it can stand until the end of a week. */
const STANDS_DAYS = 6;

export const requestPages = (deps: RequestDeps): Hono => {
  const show = (
    c: Context,
    workshop: DonorWorkshop,
    typed: Typed,
    wrong: Wrongs,
    status: 200 | 422 | 429,
  ) => {
    const say = sayOf(c);
    const errors = Object.fromEntries(
      Object.entries(wrong).map(([field, why]) => [field, say.request.wrong[why]]),
    );
    const fresh = { ...typed, stamp: deps.guard.stamp(deps.now()) };
    return c.html(<RequestPage say={say} workshop={workshop} typed={fresh} errors={errors} />, status);
  };
  return new Hono()
    .get('/request', (c) => {
      const workshop = deps.readWorkshop();
      if (!workshop) return refusePage(c, 'not-found');
      const { day } = localOf(workshop.zone, deps.now());
      const typed = {
        factId: deps.newId(),
        eventEndsLocal: localText(workshop.zone, deps.now()),
        untilDay: addDays(day, STANDS_DAYS),
      };
      return show(c, workshop, typed, {}, 200);
    })
    .post('/request', async (c) => {
      const workshop = deps.readWorkshop();
      if (!workshop) return refusePage(c, 'not-found');
      const typed = await readTyped(c);
      const nowAt = deps.now();
      const timed = deps.guard.check(typed['stamp'] ?? '', nowAt);
      if (timed !== 'fine') return show(c, workshop, typed, { '': timed }, 422);
      const read = readPlace(typed, workshop.zone, nowAt);
      if (!read.value) return show(c, workshop, typed, read.wrong, 422);
      // A machine filled what nobody sees: thanked like a person, so that it learns nothing, and not kept.
      if ((typed['website'] ?? '') === '') {
        if (!deps.guard.allow(deps.addressOf(c), nowAt)) return show(c, workshop, typed, { '': 'many' }, 429);
        deps.requestPlace(read.value);
      }
      return c.html(<RequestDonePage say={sayOf(c)} workshop={workshop} contact={read.value.contact} />, 201);
    });
};

type Wrongs = { readonly [field: string]: Wrong };

function readPlace(
  typed: Typed,
  zone: string,
  nowAt: Instant,
): { readonly value?: NewPlace; readonly wrong: Wrongs } {
  const parsed = PlaceForm.safeParse(typed);
  const factId = Id.safeParse(typed['factId']);
  const wrong: Record<string, Wrong> = {};
  if (!parsed.success)
    for (const { path, message, code } of parsed.error.issues)
      wrong[String(path[0])] ??= code === 'invalid_type' ? 'missing' : (message as Wrong);
  if (!parsed.success || !factId.success) return { wrong: factId.success ? wrong : { ...wrong, '': 'old' } };
  const { eventEndsLocal, sacks, ...place } = parsed.data;
  const eventEndsAt = readInstant(zone, eventEndsLocal);
  if (eventEndsAt === undefined || Math.abs(eventEndsAt - nowAt) > YEAR_S)
    return { wrong: { eventEndsLocal: 'when' } };
  const earliest = Math.max(nowAt, eventEndsAt);
  if (place.untilDay < localOf(zone, earliest).day) return { wrong: { untilDay: 'until' } };
  return { value: { ...place, factId: factId.data, eventEndsAt, expectedBags: sacks }, wrong };
}
