/** /sites/new and /sites/:id/edit: looked at first, or kept at once; refused with a sentence beside each field. */
import { type Context, Hono } from 'hono';
import type { Result } from '../../../core/quantity/result.ts';
import type { KeepSite, KeepSiteRefusal } from '../../../usecases/keep-site.ts';
import { readTyped } from '../../shared/form.ts';
import { refusePage } from '../../shared/html-error.tsx';
import { idParam } from '../../shared/ids.ts';
import type { Notice } from '../../shared/page.tsx';
import type { SessionEnv } from '../../shared/session.ts';
import { SiteEditPage } from './site-edit-page.tsx';
import type { RulePreview, SiteEditView } from './site-edit-view.ts';
import { cellsOfTyped, errorsOf } from './site-form.ts';

export type SiteEditDeps = {
  /** Without an id the form of a new site. */
  readSiteEdit(siteId?: string): SiteEditView | undefined;
  previewRule(cells: { readonly [column: string]: string }): RulePreview | undefined;
  keepSite(request: KeepSite): Result<{ readonly siteId: string }, KeepSiteRefusal>;
};

const BACK = { path: '/sites', label: 'To the list of sites' };
const WRONG: Notice = {
  kind: 'warning',
  text: 'Nothing was kept yet: see the fields that need another look.',
};
const LOOKED: Notice = { kind: 'done', text: 'This is how it would be. Nothing was kept yet.' };
const MEANWHILE: Notice = {
  kind: 'warning',
  text: 'Somebody else changed this site meanwhile. Your own figures stand in the form: look at the site again before you send them once more.',
};

export const siteEditPages = (
  deps: SiteEditDeps,
  actorNamed: (label: string | undefined) => string,
): Hono<SessionEnv> => {
  const notThere = (c: Context) => refusePage(c, 'no-such-site', { role: 'coordinator', back: BACK });
  const show = (c: Context, siteId?: string) => {
    const view = deps.readSiteEdit(siteId);
    return view
      ? c.html(<SiteEditPage view={view} preview={deps.previewRule(cellsOfTyped(view.typed))} />)
      : notThere(c);
  };
  const take = async (c: Context<SessionEnv>, siteId?: string) => {
    const view = deps.readSiteEdit(siteId);
    if (!view) return notThere(c);
    const { intent, seen, ...typed } = await readTyped(c);
    const cells = cellsOfTyped(typed);
    const isTrial = intent === 'look';
    const kept = deps.keepSite({
      ...(siteId === undefined ? {} : { siteId, seen: seen ?? '' }),
      cells,
      isTrial,
      actor: `coordinator:${actorNamed(c.var.session?.label)}`,
    });
    if (kept.ok && !isTrial)
      return c.redirect(
        siteId === undefined ? `/sites/${kept.value.siteId}/position` : `/sites/${siteId}?did=site-kept`,
        303,
      );
    const preview = deps.previewRule(cells);
    if (kept.ok)
      return c.html(
        <SiteEditPage
          view={view}
          typed={{ ...typed, ...(seen ? { seen } : {}) }}
          preview={preview}
          notice={LOOKED}
        />,
      );
    if (kept.refusal.kind === 'site-not-found') return notThere(c);
    // The form is shown with the newest state's mark, so that sending it again is a decision.
    if (kept.refusal.kind === 'changed-meanwhile')
      return c.html(<SiteEditPage view={view} typed={typed} preview={preview} notice={MEANWHILE} />, 409);
    const errors = errorsOf(kept.refusal.faults);
    return c.html(
      <SiteEditPage
        view={view}
        typed={{ ...typed, ...(seen ? { seen } : {}) }}
        errors={errors}
        preview={preview}
        notice={WRONG}
      />,
      422,
    );
  };
  return new Hono<SessionEnv>()
    .get('/sites/new', (c) => show(c))
    .post('/sites/new', (c) => take(c))
    .get('/sites/:id/edit', (c) => show(c, idParam(c) ?? ''))
    .post('/sites/:id/edit', (c) => take(c, idParam(c) ?? ''));
};
