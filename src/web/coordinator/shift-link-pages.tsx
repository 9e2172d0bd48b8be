/** A driver's link for one shift: for a phone that is shared, or a driver who comes once. */
import { Hono } from 'hono';
import { z } from 'zod';
import type { Result } from '../../core/quantity/result.ts';
import type { LocalDay } from '../../core/quantity/units.ts';
import { readForm } from '../shared/form.ts';
import { dayLong } from '../shared/format.ts';
import { refusePage } from '../shared/html-error.tsx';
import { Id } from '../shared/ids.ts';
import type { MadeLink } from '../shared/made-link.ts';
import { Page } from '../shared/page.tsx';
import type { SessionEnv } from '../shared/session.ts';
import { MadeLinkPage } from './links-page.tsx';
import type { LinksView } from './links-view.ts';

export type ShiftLinkView = {
  readonly workshop: LinksView['workshop'];
  /** Still to end, of the coming days. */
  readonly shifts: readonly {
    readonly shiftId: string;
    readonly day: LocalDay;
    /** "08:00–13:00". */
    readonly hours: string;
    readonly driverName: string;
    readonly vanName: string;
  }[];
};

export type ShiftLinkDeps = {
  readShifts(): ShiftLinkView;
  createShiftLink(request: {
    readonly shiftId: string;
    readonly actor: string;
  }): Result<MadeLink, { readonly kind: string }>;
};

const FRAME = { role: 'coordinator', here: '/links' } as const;

const ShiftLinksPage = ({ view }: { readonly view: ShiftLinkView }) => (
  <Page title="A link for one shift" workshop={view.workshop.name} {...FRAME} width="narrow">
    <h1>A link for one shift</h1>
    <p class="lead">
      It opens the run sheet of the driver, and ends half a day after the shift: time to hand in what waited
      for a network.
    </p>
    {view.shifts.length === 0 && <p>No shift is planned for the coming week.</p>}
    {view.shifts.map(({ shiftId, day, hours, driverName, vanName }) => (
      <form method="post" action="/links/shift">
        <input type="hidden" name="shift" value={shiftId} />
        <p class="actions">
          <span>
            <b>{driverName}</b>, {dayLong(day)}, {hours} <span class="soft">({vanName})</span>
          </span>
          <button type="submit">
            Make a link
            <span class="unseen">
              {' '}
              for {driverName}, {dayLong(day)}
            </span>
          </button>
        </p>
      </form>
    ))}
    <p>
      <a href="/links">Back to the private links</a>
    </p>
  </Page>
);

export const shiftLinkPages = (deps: ShiftLinkDeps): Hono<SessionEnv> =>
  new Hono<SessionEnv>()
    .get('/links/shift', (c) => c.html(<ShiftLinksPage view={deps.readShifts()} />))
    .post('/links/shift', async (c) => {
      const form = await readForm(c, z.strictObject({ shift: Id }));
      const actor = c.var.session.label || 'coordinator';
      const made = form.ok ? deps.createShiftLink({ shiftId: form.value.shift, actor }) : undefined;
      if (made?.ok)
        return c.html(<MadeLinkPage made={made.value} workshop={deps.readShifts().workshop} />, 201);
      const detail = 'The shift is over or was called off. Choose another one.';
      return refusePage(c, 'not-found', {
        detail,
        role: 'coordinator',
        back: { path: '/links/shift', label: 'To the shifts' },
      });
    });
