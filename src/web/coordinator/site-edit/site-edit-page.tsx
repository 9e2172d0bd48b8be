/** The form of a site: the place, what film waits in, when it is open, when we come, whom to ask. */
import { CONTAINER_KINDS, SITE_KINDS } from '../../../core/vocabulary.ts';
import { FieldError, SelectField, TextField } from '../../shared/controls.tsx';
import type { FieldErrors, Typed } from '../../shared/form.ts';
import { Field, type Notice, Page } from '../../shared/page.tsx';
import { SITE_KIND_WORDS } from '../../shared/words.ts';
import { RuleFields } from './rule-fields.tsx';
import type { RulePreview, SiteEditView } from './site-edit-view.ts';
import { BOXES } from './site-form.ts';

const FRAME = { role: 'coordinator', here: '/sites' } as const;

type EditProps = {
  readonly view: SiteEditView;
  readonly typed?: Typed;
  readonly errors?: FieldErrors;
  readonly preview?: RulePreview | undefined;
  readonly notice?: Notice | undefined;
};

export const SiteEditPage = ({ view, typed = view.typed, errors = {}, preview, notice }: EditProps) => {
  const { site, workshop, donors } = view;
  const field = (name: string) => ({ name, typed: typed[name], error: errors[name] });
  return (
    <Page
      title={site ? `Change ${site.name}` : 'A new site'}
      workshop={workshop.name}
      notice={notice}
      {...FRAME}
    >
      <p class="kicker">
        {site ? <a href={`/sites/${site.id}`}>{site.name}</a> : <a href="/sites">Sites</a>}
      </p>
      <h1>{site ? 'Change it' : 'A new site'}</h1>
      <form method="post" action={site ? `/sites/${site.id}/edit` : '/sites/new'} class="edit">
        {site && <input type="hidden" name="seen" value={typed['seen'] ?? site.seen} />}
        <fieldset class="fields edit-group">
          <legend>The place</legend>
          <Field {...field('name')} label="Name" hint="What people call the place" required />
          <div class="edit-row">
            <SelectField
              {...field('kind')}
              label="Kind"
              options={SITE_KINDS.map((value) => ({ value, label: SITE_KIND_WORDS[value] }))}
            />
            {site ? (
              <Field {...field('donor_name')} label="Donor" hint="Its name, for all of its sites" />
            ) : (
              <SelectField
                {...field('donor')}
                label="Donor"
                empty="The site is a donor of its own"
                options={donors.map(({ key, name }) => ({ value: key, label: name }))}
              />
            )}
          </div>
          <div class="edit-row">
            <Field {...field('address')} label="Address" hint="Street and number" />
            <Field {...field('district')} label="District" hint="Part of town" />
          </div>
          {site ? (
            <p class="hint">
              Where it lies is corrected <a href={`/sites/${site.id}/position`}>on the map</a>.
            </p>
          ) : (
            <div class="edit-row">
              <Field {...field('lat')} label="Latitude" hint="Degrees; it begins at the workshop" required />
              <Field {...field('lon')} label="Longitude" hint="Degrees; once kept, the map helps" required />
            </div>
          )}
          <TextField {...field('access_notes')} label="How to get in" />
          <TextField {...field('handling_notes')} label="Cautions for whoever lifts" />
        </fieldset>
        <fieldset class="fields edit-group">
          <legend>The film</legend>
          <div class={errors['box0_kind'] ? 'field field-wrong' : 'field'}>
            <p class="hint">What it waits in: kind, how many, litres of each</p>
            {Array.from({ length: BOXES }, (_, i) => (
              <Box i={i} typed={typed} />
            ))}
            <FieldError name="box0_kind" error={errors['box0_kind']} />
          </div>
          {(typed['rest'] ?? '') !== '' && <input type="hidden" name="rest" value={typed['rest']} />}
          <div class="edit-row">
            <Field
              {...field('declared_bags_per_week')}
              label="Bags a week"
              hint="As the donor says; 0 if nothing was said"
              inputmode="decimal"
              required
            />
            <Field
              {...field('bag_kg')}
              label="A full bag"
              hint="kg; empty: the workshop’s figure"
              inputmode="decimal"
            />
            <Field
              {...field('service_min')}
              label="At the door"
              hint="Minutes of a visit"
              inputmode="decimal"
            />
          </div>
          <Field
            {...field('grades')}
            label="Grades expected"
            hint="Shares such as ldpe-clear:0.7;ldpe-printed:0.3; empty: unknown"
          />
        </fieldset>
        <fieldset class="fields edit-group">
          <legend>When it is open</legend>
          <Field
            {...field('hours')}
            label="Hours"
            hint="Such as mo-fr 08:00-12:00,13:00-18:00; sa 09:00-13:00. Empty: always open"
          />
          <TextField
            {...field('closures')}
            label="Closed"
            hint="Such as 2026-12-24..2027-01-02 Christmas; 2026-05-01"
          />
          <div class="edit-row">
            <Field {...field('active_from')} label="Takes part from" type="date" />
            <Field {...field('active_until')} label="Until" type="date" />
          </div>
        </fieldset>
        <RuleFields typed={typed} errors={errors} preview={preview} zone={workshop.zone} />
        <fieldset class="fields edit-group">
          <legend>Whom to ask there</legend>
          <div class="edit-row">
            <Field {...field('contact_name')} label="Person" />
            <Field {...field('contact_phone')} label="Telephone" type="tel" />
            <Field {...field('contact_email')} label="E-mail" type="email" />
          </div>
        </fieldset>
        <div class="actions">
          <button type="submit" class="primary" name="intent" value="keep">
            {site ? 'Keep the changes' : 'Register the site'}
          </button>
          <button type="submit" name="intent" value="look">
            Look at it first
          </button>
          <a href={site ? `/sites/${site.id}` : '/sites'}>Leave it</a>
        </div>
      </form>
    </Page>
  );
};

const Box = ({ i, typed }: { readonly i: number; readonly typed: Typed }) => (
  <div class="edit-box">
    <select name={`box${i}_kind`} id={`box${i}_kind`} aria-label={`Container ${i + 1}, kind`}>
      <option value="">none</option>
      {CONTAINER_KINDS.map((kind) => (
        <option value={kind} selected={typed[`box${i}_kind`] === kind}>
          {kind.replace('-', ' ')}
        </option>
      ))}
    </select>
    <input
      name={`box${i}_count`}
      value={typed[`box${i}_count`] ?? ''}
      inputmode="numeric"
      aria-label={`Container ${i + 1}, how many`}
      placeholder="how many"
    />
    <input
      name={`box${i}_litres`}
      value={typed[`box${i}_litres`] ?? ''}
      inputmode="decimal"
      aria-label={`Container ${i + 1}, litres of each`}
      placeholder="litres each"
    />
  </div>
);
