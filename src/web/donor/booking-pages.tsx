/** One booking: how it stands, its calendar file, its end; and an announced event called off. */
import { Hono } from 'hono';
import { idParam } from '../shared/ids.ts';
import type { SessionEnv } from '../shared/session.ts';
import { sayOf } from '../shared/speak.ts';
import { BookingPage } from './booking-page.tsx';
import type { DonorDeps } from './donor-deps.ts';
import { noBooking } from './own.ts';
import { REFUSED } from './refused.ts';

export const bookingPages = (deps: DonorDeps): Hono<SessionEnv> =>
  new Hono<SessionEnv>()
    .get('/donor/bookings/:id', (c) => {
      const bookingId = idParam(c);
      const view = bookingId && deps.readBooking(c.var.session.subjectId, bookingId, deps.now());
      return view ? c.html(<BookingPage say={sayOf(c)} view={view} />) : noBooking(c);
    })
    .get('/donor/bookings/:id/visit.ics', (c) => {
      const bookingId = idParam(c);
      const file = bookingId && deps.bookingCalendar(c.var.session.subjectId, bookingId, sayOf(c));
      if (!file) return noBooking(c);
      return c.body(file, 200, {
        'Content-Type': 'text/calendar; charset=utf-8',
        'Content-Disposition': 'attachment; filename="visit.ics"',
      });
    })
    .post('/donor/bookings/:id/cancel', (c) => {
      const bookingId = idParam(c);
      if (!bookingId) return noBooking(c);
      const donorId = c.var.session.subjectId;
      const done = deps.cancelBooking({ donorId, bookingId, at: deps.now() });
      if (done.ok) return c.redirect(`/donor/bookings/${bookingId}`, 303);
      const view = deps.readBooking(donorId, bookingId, deps.now());
      const { status } = REFUSED[done.refusal.kind];
      if (!view || status !== 409) return noBooking(c);
      const say = sayOf(c);
      const text = say.booking.refusals[done.refusal.kind];
      return c.html(<BookingPage say={say} view={view} notice={{ kind: 'warning', text }} />, status);
    })
    .post('/donor/announced/:id/withdrawal', (c) => {
      const surgeId = idParam(c);
      return surgeId && deps.callOffSurge(c.var.session.subjectId, surgeId)
        ? c.redirect('/donor?did=called-off', 303)
        : noBooking(c);
    });
