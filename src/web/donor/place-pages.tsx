/** Pauses, access and contact of a place of the donor's own. */
import { type Context, Hono } from 'hono';
import { z } from 'zod';
import { addDays } from '../../core/calendar/zone.ts';
import type { Say } from '../messages/say.ts';
import { type FieldErrors, readForm, readTyped, type Typed } from '../shared/form.ts';
import type { SessionEnv } from '../shared/session.ts';
import { sayOf } from '../shared/speak.ts';
import type { DonorDeps } from './donor-deps.ts';
import { noSite, type Own, ownSite } from './own.ts';
import { PlacePage } from './place-page.tsx';

type Wrong = keyof Say['donor']['place']['wrong'];
const said = (wrong: Wrong): Wrong => wrong;
const Day = z.iso.date(said('day'));
const short = (most: number) => z.string().trim().max(most, said('text')).default('');

const PauseForm = z
  .object({ fromDay: Day, untilDay: Day, reason: short(100) })
  .refine(({ fromDay, untilDay }) => untilDay >= fromDay, { path: ['untilDay'], message: said('order') })
  .refine(({ fromDay, untilDay }) => untilDay <= addDays(fromDay, 366), {
    path: ['untilDay'],
    message: said('long'),
  });
const SpanForm = z.object({ fromDay: Day, untilDay: Day });
const ContactForm = z.object({
  accessNotes: short(1000),
  name: short(100),
  phone: short(40),
  email: z.union([z.literal(''), z.email(said('email'))]).default(''),
});

export const placePages = (deps: DonorDeps): Hono<SessionEnv> => {
  const show = (
    c: Context<SessionEnv>,
    { view, site }: Own,
    typed: Typed,
    errors: FieldErrors,
    status: 200 | 409 | 422,
  ) => {
    const say = sayOf(c);
    const { accessNotes, contact } = site;
    const did = DONE[c.req.query('did') ?? ''];
    return c.html(
      <PlacePage
        say={say}
        view={view}
        site={site}
        typed={{ accessNotes, ...contact, ...typed }}
        errors={errors}
        notice={did && { kind: 'done', text: say.donor.place[did] }}
      />,
      status,
    );
  };
  const sentences = (c: Context<SessionEnv>, errors: FieldErrors): FieldErrors => {
    const { wrong } = sayOf(c).donor.place;
    return Object.fromEntries(
      Object.entries(errors).map(([field, why]) => [field, why in wrong ? wrong[why as Wrong] : wrong.day]),
    );
  };
  const back = (c: Context<SessionEnv>, { site }: Own, did: keyof typeof DONE) =>
    c.redirect(`/donor/sites/${site.siteId}/place?did=${did}`, 303);

  return new Hono<SessionEnv>()
    .get('/donor/sites/:id/place', (c) => {
      const own = ownSite(c, deps);
      return own ? show(c, own, {}, {}, 200) : noSite(c);
    })
    .post('/donor/sites/:id/pauses', async (c) => {
      const own = ownSite(c, deps);
      if (!own) return noSite(c);
      const read = await readForm(c, PauseForm);
      if (!read.ok) return show(c, own, read.typed, sentences(c, read.errors), 422);
      if (read.value.untilDay < own.view.todayDay)
        return show(c, own, read.typed, sentences(c, { untilDay: said('past') }), 422);
      const done = deps.pauseSite({
        ...read.value,
        siteId: own.site.siteId,
        donorId: c.var.session.subjectId,
      });
      if (done.ok) return back(c, own, 'paused');
      return done.refusal.kind === 'site-not-found'
        ? noSite(c)
        : show(c, own, read.typed, sentences(c, { untilDay: said('many') }), 409);
    })
    .post('/donor/sites/:id/pauses/withdrawal', async (c) => {
      const own = ownSite(c, deps);
      if (!own) return noSite(c);
      const read = await readForm(c, SpanForm);
      if (!read.ok) return show(c, own, {}, {}, 422);
      const done = deps.resumeSite({
        ...read.value,
        siteId: own.site.siteId,
        donorId: c.var.session.subjectId,
      });
      return done.ok ? back(c, own, 'resumed') : noSite(c);
    })
    .post('/donor/sites/:id/contact', async (c) => {
      const own = ownSite(c, deps);
      if (!own) return noSite(c);
      // Empty fields are sent on purpose here: that is how a contact is taken out.
      const typed = await readTyped(c);
      const read = ContactForm.safeParse(typed);
      if (!read.success) {
        const errors = Object.fromEntries(
          read.error.issues.map(({ path, message }) => [
            path.map(String).join('.'),
            path[0] === 'email' ? said('email') : message,
          ]),
        );
        return show(c, own, typed, sentences(c, errors), 422);
      }
      const { accessNotes, ...contact } = read.data;
      const donorId = c.var.session.subjectId;
      const done = deps.changeContact({ siteId: own.site.siteId, donorId, accessNotes, contact });
      return done.ok ? back(c, own, 'kept') : noSite(c);
    });
};

const DONE: { readonly [did: string]: 'kept' | 'paused' | 'resumed' } = {
  kept: 'kept',
  paused: 'paused',
  resumed: 'resumed',
};
