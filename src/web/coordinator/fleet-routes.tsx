/** The pages of vans, drivers and shifts. Mounted with the coordinator's other pages. */
import { type Context, Hono } from 'hono';
import { z } from 'zod';
import { clock } from '../../core/calendar/zone.ts';
import type { Result } from '../../core/quantity/result.ts';
import type { ArrangeRefusal, arrangeShifts, changeShift } from '../../usecases/arrange-shifts.ts';
import type { DriverFacts, FleetRefusal, VanFacts } from '../../usecases/keep-fleet.ts';
import { type FieldErrors, readForm, type Typed } from '../shared/form.ts';
import { dayShort } from '../shared/format.ts';
import { refusePage } from '../shared/html-error.tsx';
import { idParam } from '../shared/ids.ts';
import type { Notice } from '../shared/page.tsx';
import { REFUSAL_WORDS } from '../shared/refusal-words.ts';
import type { SessionEnv } from '../shared/session.ts';
import { WelcomePage } from './first-steps.tsx';
import { DriverPage, ShiftPage, VanPage } from './fleet-edit-pages.tsx';
import {
  ArrangeForm,
  DriverForm,
  daysMeant,
  ShiftForm,
  typedDriver,
  typedVan,
  VanForm,
} from './fleet-form.ts';
import { FleetPage } from './fleet-page.tsx';
import type { DriverView, FleetView, Frame, ShiftView, VanView } from './fleet-view.ts';

type Arrange = Parameters<typeof arrangeShifts>[1];
type Change = Parameters<typeof changeShift>[1];
type Plain = Result<unknown, { readonly kind: string }>;

export type FleetDeps = {
  hasWorkshop(): boolean;
  /** A fresh random id: the form's own, so that a second press of the button changes nothing. */
  newId(): string;
  readFrame(): Frame;
  readFleet(from: string | undefined): FleetView;
  readShift(shiftId: string): ShiftView | undefined;
  readVan(vanId: string): VanView | undefined;
  readDriver(driverId: string): DriverView | undefined;
  keepVan(request: { id?: string; facts: VanFacts; actor: string }): Result<unknown, FleetRefusal>;
  keepDriver(request: { id?: string; facts: DriverFacts; actor: string }): Result<unknown, FleetRefusal>;
  arrangeShifts(request: Arrange): Result<{ readonly shiftIds: readonly string[] }, ArrangeRefusal>;
  changeShift(request: Change): Result<{ readonly shiftId: string }, ArrangeRefusal>;
  reportDriverAway(request: { shiftId: string; reason: string; actor: string }): Plain;
  reportDriverBack(request: { shiftId: string; actor: string }): Plain;
  putVanBack(request: { vanId: string; actor: string }): Plain;
};

const DONE: { readonly [did: string]: Notice } = {
  kept: { kind: 'done', text: 'Kept. The next plan counts with it.' },
  arranged: { kind: 'done', text: 'Arranged. The next plan counts with these hours.' },
  changed: { kind: 'done', text: 'Changed. If anything published no longer fits, a draft mends it.' },
  away: {
    kind: 'done',
    text: 'Called off. If stops were published for it, a draft finds them another place.',
  },
  back: { kind: 'done', text: 'Noted. The next plan counts with it again.' },
};
const WRONG: Notice = {
  kind: 'warning',
  text: 'Nothing was kept yet: see the fields that need another look.',
};
const BACK = { path: '/fleet', label: 'To vans, drivers and shifts' };
const ReasonForm = z.strictObject({ reason: z.string().max(200).optional() });

const actorOf = (c: Context<SessionEnv>): string => `coordinator:${c.var.session.label || 'coordinator'}`;

export const fleetPages = (deps: FleetDeps): Hono<SessionEnv> => {
  const notThere = (c: Context<SessionEnv>) =>
    refusePage(c, 'not-found', { role: 'coordinator', back: BACK });
  const done = (c: Context<SessionEnv>) => DONE[c.req.query('did') ?? ''];
  const showFleet = (c: Context<SessionEnv>, typed: Typed, errors: FieldErrors, notice: Notice) =>
    c.html(
      <FleetPage view={deps.readFleet(typed['from'])} typed={typed} errors={errors} notice={notice} />,
      422,
    );

  return new Hono<SessionEnv>()
    .on(['GET', 'POST'], ['/fleet', '/fleet/*'], (c, next) =>
      deps.hasWorkshop() ? next() : c.html(<WelcomePage />),
    )
    .get('/fleet', (c) => {
      const view = deps.readFleet(c.req.query('from'));
      return c.html(<FleetPage view={view} typed={{ factId: deps.newId() }} notice={done(c)} />);
    })
    .post('/fleet/shifts', async (c) => {
      const form = await readForm(c, ArrangeForm);
      if (!form.ok) return showFleet(c, form.typed, form.errors, WRONG);
      const { van, driver, starts, ends, factId } = form.value;
      const missing = {
        ...(van ? {} : { van: 'Choose a van.' }),
        ...(driver ? {} : { driver: 'Choose a driver.' }),
      };
      if (!van || !driver) return showFleet(c, form.typed, missing, WRONG);
      const meant = daysMeant(form.value);
      if (!meant.ok) return showFleet(c, form.typed, meant.errors, WRONG);
      const hours = { vanId: van, driverId: driver, startsMinute: starts, endsMinute: ends };
      const made = deps.arrangeShifts({ ...hours, factId, days: meant.days, actor: actorOf(c) });
      if (made.ok) return c.redirect(`/fleet?from=${form.value.from}&did=arranged`, 303);
      return showFleet(c, form.typed, arrangeErrors(made.refusal, 'from'), WRONG);
    })
    .get('/fleet/shifts/:id', (c) => {
      const view = deps.readShift(idParam(c) ?? '');
      return view ? c.html(<ShiftPage view={view} typed={typedShift(view)} notice={done(c)} />) : notThere(c);
    })
    .post('/fleet/shifts/:id', async (c) => {
      const shiftId = idParam(c) ?? '';
      const view = deps.readShift(shiftId);
      if (!view) return notThere(c);
      const form = await readForm(c, ShiftForm);
      const show = (errors: FieldErrors) =>
        c.html(<ShiftPage view={view} typed={form.typed} errors={errors} notice={WRONG} />, 422);
      if (!form.ok) return show(form.errors);
      const { van = '', driver = '', starts, ends } = form.value;
      const hours = { vanId: van, driverId: driver, startsMinute: starts, endsMinute: ends };
      const changed = deps.changeShift({ shiftId, ...hours, actor: actorOf(c) });
      if (changed.ok) return c.redirect(`/fleet/shifts/${changed.value.shiftId}?did=changed`, 303);
      return show(arrangeErrors(changed.refusal, 'starts'));
    })
    .post('/fleet/shifts/:id/away', async (c) => {
      const shiftId = idParam(c) ?? '';
      const form = await readForm(c, ReasonForm);
      const reason = form.ok ? (form.value.reason ?? '') : '';
      const told = deps.reportDriverAway({ shiftId, reason, actor: actorOf(c) });
      return told.ok ? c.redirect(`/fleet/shifts/${shiftId}?did=away`, 303) : refused(c, told.refusal.kind);
    })
    .post('/fleet/shifts/:id/back', (c) => {
      const shiftId = idParam(c) ?? '';
      const told = deps.reportDriverBack({ shiftId, actor: actorOf(c) });
      return told.ok ? c.redirect(`/fleet/shifts/${shiftId}?did=back`, 303) : refused(c, told.refusal.kind);
    })
    .get('/fleet/vans/new', (c) => c.html(<VanPage workshop={deps.readFrame()} typed={{}} />))
    .get('/fleet/vans/:id', (c) => {
      const view = deps.readVan(idParam(c) ?? '');
      if (!view) return notThere(c);
      return c.html(<VanPage view={view} workshop={view.workshop} typed={typedVan(view)} notice={done(c)} />);
    })
    .post('/fleet/vans/:id', async (c) => {
      const id = newOrId(c);
      const view = id === undefined ? undefined : deps.readVan(id);
      if (id !== undefined && !view) return notThere(c);
      const form = await readForm(c, VanForm);
      const show = (errors: FieldErrors) =>
        c.html(
          <VanPage
            view={view}
            workshop={deps.readFrame()}
            typed={form.typed}
            errors={errors}
            notice={WRONG}
          />,
          422,
        );
      if (!form.ok) return show(form.errors);
      const kept = deps.keepVan({
        ...(id === undefined ? {} : { id }),
        facts: form.value,
        actor: actorOf(c),
      });
      return kept.ok ? c.redirect('/fleet?did=kept', 303) : show({ name: wordsOf(kept.refusal.kind) });
    })
    .post('/fleet/vans/:id/back', (c) => {
      const vanId = idParam(c) ?? '';
      const told = deps.putVanBack({ vanId, actor: actorOf(c) });
      return told.ok ? c.redirect(`/fleet/vans/${vanId}?did=back`, 303) : refused(c, told.refusal.kind);
    })
    .get('/fleet/drivers/new', (c) => c.html(<DriverPage workshop={deps.readFrame()} typed={{}} />))
    .get('/fleet/drivers/:id', (c) => {
      const view = deps.readDriver(idParam(c) ?? '');
      if (!view) return notThere(c);
      const typed = typedDriver(view);
      return c.html(<DriverPage view={view} workshop={view.workshop} typed={typed} notice={done(c)} />);
    })
    .post('/fleet/drivers/:id', async (c) => {
      const id = newOrId(c);
      const view = id === undefined ? undefined : deps.readDriver(id);
      if (id !== undefined && !view) return notThere(c);
      const form = await readForm(c, DriverForm);
      const show = (errors: FieldErrors) =>
        c.html(
          <DriverPage
            view={view}
            workshop={deps.readFrame()}
            typed={form.typed}
            errors={errors}
            notice={WRONG}
          />,
          422,
        );
      if (!form.ok) return show(form.errors);
      const kept = deps.keepDriver({
        ...(id === undefined ? {} : { id }),
        facts: form.value,
        actor: actorOf(c),
      });
      return kept.ok ? c.redirect('/fleet?did=kept', 303) : show({ name: wordsOf(kept.refusal.kind) });
    });
};

/** `new` stands for one that is not there yet; an id that cannot be one is like one that is gone. */
const newOrId = (c: Context<SessionEnv>): string | undefined =>
  c.req.param('id') === 'new' ? undefined : (idParam(c) ?? '');

const wordsOf = (kind: string): string => REFUSAL_WORDS[kind]?.detail ?? 'It could not be kept.';

function refused(c: Context<SessionEnv>, kind: string) {
  const words = REFUSAL_WORDS[kind];
  return refusePage(c, words?.problem ?? 'cannot-be-done', {
    ...(words ? { detail: words.detail } : {}),
    role: 'coordinator',
    back: BACK,
  });
}

const typedShift = (view: ShiftView): Typed => ({
  driver: view.driverId,
  van: view.vanId,
  starts: clock(view.startsMinute),
  ends: clock(view.endsMinute),
});

/** The sentence beside the field that it is about. */
function arrangeErrors(refusal: ArrangeRefusal, dayField: string): FieldErrors {
  const sentence = wordsOf(refusal.kind);
  switch (refusal.kind) {
    case 'van-not-found':
      return { van: sentence };
    case 'driver-not-found':
      return { driver: sentence };
    case 'ends-before-it-starts':
      return { ends: sentence };
    case 'shift-in-the-way': {
      const { other, who } = refusal;
      const hours = `${clock(other.startsMinute)}–${clock(other.endsMinute)}`;
      return { [who]: `On ${dayShort(other.day)} the ${who} has another shift, ${hours}.` };
    }
    case 'day-over':
      return { [dayField]: `The hours on ${dayShort(refusal.day)} are over. Choose a day still to come.` };
    default:
      return { [dayField]: sentence };
  }
}
