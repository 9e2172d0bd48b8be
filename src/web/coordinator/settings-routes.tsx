/** The pages of the settings. Mounted with the coordinator's other pages. */
import { Hono } from 'hono';
import type { Result } from '../../core/quantity/result.ts';
import type { ObjectiveRefusal, ObjectiveRequest } from '../../usecases/change-objective.ts';
import { readTyped } from '../shared/form.ts';
import { objectiveFault } from '../shared/objective-amounts.ts';
import type { Notice } from '../shared/page.tsx';
import type { SessionEnv } from '../shared/session.ts';
import { freshSettings, type SettingsForm, settingsValues, withDefaults } from './settings-form.ts';
import { SettingsPage } from './settings-page.tsx';
import type { SettingsView } from './settings-view.ts';

export type SettingsDeps = {
  readSettings(): SettingsView;
  changeObjective(
    request: ObjectiveRequest,
  ): Result<{ readonly changed: readonly unknown[] }, ObjectiveRefusal>;
};

const DONE: { readonly [did: string]: Notice } = {
  saved: { kind: 'done', text: 'Saved. The next plan counts with it: plan again on the week sheet.' },
  nothing: { kind: 'done', text: 'Nothing was different, so nothing was changed.' },
};
const FILLED: Notice = { kind: 'done', text: 'The default is filled in. Nothing is kept until you save.' };
const CHANGED: Notice = {
  kind: 'warning',
  text: 'Somebody else saved in the meantime. Your figures are still here; look at the last changes below and save again.',
};

export const settingsPages = (deps: SettingsDeps, actorOf: (label: string | undefined) => string) =>
  new Hono<SessionEnv>()
    .get('/settings', (c) => {
      const view = deps.readSettings();
      const notice = DONE[c.req.query('did') ?? ''];
      return c.html(<SettingsPage view={view} form={freshSettings(view.objective)} notice={notice} />);
    })
    .post('/settings', async (c) => {
      const { version, reset, ...typed } = await readTyped(c);
      const view = deps.readSettings();
      const show = (form: SettingsForm, status: 200 | 409 | 422, notice?: Notice) =>
        c.html(<SettingsPage view={view} form={form} notice={notice} />, status);
      if (reset !== undefined) return show(withDefaults(view.objective, typed, reset), 200, FILLED);
      const read = settingsValues(view.objective, typed);
      if (!read.ok) return show({ typed, errors: read.errors }, 422);
      const done = deps.changeObjective({
        values: read.values,
        actor: actorOf(c.var.session?.label),
        ...(version === undefined ? {} : { version }),
      });
      if (done.ok)
        return c.redirect(`/settings?did=${done.value.changed.length > 0 ? 'saved' : 'nothing'}`, 303);
      if (done.refusal.kind === 'changed-meanwhile') return show({ typed, errors: {} }, 409, CHANGED);
      const errors = done.refusal.faults.map((fault) => [
        fault.key,
        objectiveFault(fault, view.workshop.currency),
      ]);
      return show({ typed, errors: Object.fromEntries(errors) }, 422);
    });
