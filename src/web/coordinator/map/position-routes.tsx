/** /sites/:id/position: looked at by GET, even before it is kept; kept by POST. */
import { type Context, Hono } from 'hono';
import { z } from 'zod';
import type { Result } from '../../../core/quantity/result.ts';
import type { Position } from '../../../core/quantity/units.ts';
import type { MoveRefusal } from '../../../usecases/move-site.ts';
import { type FieldErrors, readForm, type Typed } from '../../shared/form.ts';
import { refusePage } from '../../shared/html-error.tsx';
import { idParam } from '../../shared/ids.ts';
import type { Notice } from '../../shared/page.tsx';
import type { SessionEnv } from '../../shared/session.ts';
import type { PositionView } from './map-view.ts';
import { PositionPage } from './position-page.tsx';

export type PositionDeps = {
  /** Drawn around `proposed`, or else where the register has it. */
  readPosition(siteId: string, proposed?: Position): PositionView | undefined;
  moveSite(request: {
    readonly siteId: string;
    readonly from: Position;
    readonly to: Position;
    readonly actor: string;
  }): Result<unknown, MoveRefusal>;
};

/** A decimal comma and a typographic minus are taken as meant. */
const degrees = (most: number, such: string) => {
  const wanted = `A number of degrees from −${most} to ${most}, such as ${such}.`;
  return z
    .string({ error: wanted })
    .transform((text) => Number(text.trim().replace(',', '.').replace('\u2212', '-')))
    .pipe(z.number({ error: wanted }).min(-most, wanted).max(most, wanted));
};
const PositionForm = z.strictObject({
  lat: degrees(90, '46.219712'),
  lon: degrees(180, '−19.343161'),
  lat_before: degrees(90, '46.2'),
  lon_before: degrees(180, '−19.3'),
});
const PositionQuery = PositionForm.pick({ lat: true, lon: true });

const WRONG: Notice = {
  kind: 'warning',
  text: 'Nothing was kept yet: see the fields that need another look.',
};
const MOVED: Notice = {
  kind: 'warning',
  text: 'Somebody else corrected this position meanwhile. The map shows where it is now; your own figures stand in the form.',
};
const BACK = { path: '/sites', label: 'To the list of sites' };

export const positionPages = (
  deps: PositionDeps,
  actorNamed: (label: string | undefined) => string,
): Hono<SessionEnv> => {
  const notThere = (c: Context) => refusePage(c, 'no-such-site', { role: 'coordinator', back: BACK });
  const show = (
    c: Context,
    siteId: string,
    shown: { typed?: Typed; errors?: FieldErrors; notice?: Notice; at?: Position },
    status: 200 | 409 | 422 = 200,
  ) => {
    const view = deps.readPosition(siteId, shown.at);
    if (!view) return notThere(c);
    const typed = shown.typed ?? degreesOf(shown.at ?? view.at);
    return c.html(
      <PositionPage view={view} typed={typed} errors={shown.errors ?? {}} notice={shown.notice} />,
      status,
    );
  };
  return new Hono<SessionEnv>()
    .get('/sites/:id/position', (c) => {
      const siteId = idParam(c);
      if (siteId === undefined) return notThere(c);
      const { lat, lon } = c.req.query();
      if (lat === undefined && lon === undefined) return show(c, siteId, {});
      const typed = { lat: lat ?? '', lon: lon ?? '' };
      const asked = PositionQuery.safeParse(typed);
      return asked.success
        ? show(c, siteId, { typed, at: asked.data })
        : show(c, siteId, { typed, errors: sentences(asked.error), notice: WRONG }, 422);
    })
    .post('/sites/:id/position', async (c) => {
      const siteId = idParam(c);
      if (siteId === undefined) return notThere(c);
      const form = await readForm(c, PositionForm);
      if (!form.ok) return show(c, siteId, { ...form, notice: WRONG }, 422);
      const { lat, lon, lat_before, lon_before } = form.value;
      const done = deps.moveSite({
        siteId,
        from: { lat: lat_before, lon: lon_before },
        to: { lat, lon },
        actor: `coordinator:${actorNamed(c.var.session?.label)}`,
      });
      if (done.ok) return c.redirect(`/sites/${siteId}?did=moved`, 303);
      const { refusal } = done;
      if (refusal.kind === 'site-not-found') return notThere(c);
      if (refusal.kind === 'moved-meanwhile')
        return show(c, siteId, { typed: form.typed, notice: MOVED }, 409);
      return show(c, siteId, { typed: form.typed, errors: { lat: whyNot(refusal) }, notice: WRONG }, 422);
    });
};

const whyNot = (refusal: MoveRefusal): string =>
  refusal.kind === 'far-from-workshop'
    ? refusal.isSwapped
      ? 'Latitude and longitude look swapped.'
      : 'That is far from the workshop; check the sign and the decimal point.'
    : 'That is no place on earth.';

const degreesOf = ({ lat, lon }: Position): Typed => ({ lat: String(lat), lon: String(lon) });

const sentences = (error: z.ZodError): FieldErrors =>
  Object.fromEntries(error.issues.map(({ path, message }) => [path.join('.'), message]));
