/** Form controls that `Field` in page.tsx does not cover: choices, lists to pick from, longer text, local times. */
import type { Child } from 'hono/jsx';

type About = {
  readonly name: string;
  readonly label: string;
  readonly hint?: string;
  readonly typed?: string | undefined;
  readonly error?: string | undefined;
};

const aboutIds = ({ name, hint, error }: About): string | undefined =>
  [hint && `${name}-hint`, error && `${name}-error`].filter(Boolean).join(' ') || undefined;

const Labelled = ({ about, children }: { readonly about: About; readonly children?: Child }) => (
  <div class={about.error ? 'field field-wrong' : 'field'}>
    <label for={about.name}>{about.label}</label>
    {about.hint && (
      <p class="hint" id={`${about.name}-hint`}>
        {about.hint}
      </p>
    )}
    {children}
    <FieldError name={about.name} error={about.error} />
  </div>
);

/** The sentence beside a field, tied to it by `aria-describedby`. */
export const FieldError = ({
  name,
  error,
}: {
  readonly name: string;
  readonly error?: string | undefined;
}) =>
  error ? (
    <p class="field-error" id={`${name}-error`}>
      {error}
    </p>
  ) : null;

export type Option = { readonly value: string; readonly label: string };

/** A list to pick one from; the first entry is "nothing chosen yet" unless `typed` says otherwise. */
export const SelectField = ({
  options,
  empty,
  ...about
}: About & { readonly options: readonly Option[]; readonly empty?: string }) => (
  <Labelled about={about}>
    <select
      id={about.name}
      name={about.name}
      aria-describedby={aboutIds(about)}
      aria-invalid={about.error ? 'true' : undefined}
    >
      {empty !== undefined && <option value="">{empty}</option>}
      {options.map(({ value, label }) => (
        <option value={value} selected={value === about.typed}>
          {label}
        </option>
      ))}
    </select>
  </Labelled>
);

export const TextField = ({ rows = 2, ...about }: About & { readonly rows?: number }) => (
  <Labelled about={about}>
    <textarea
      id={about.name}
      name={about.name}
      rows={rows}
      maxlength={1000}
      aria-describedby={aboutIds(about)}
      aria-invalid={about.error ? 'true' : undefined}
    >
      {about.typed ?? ''}
    </textarea>
  </Labelled>
);

/** Wall time in the workshop's zone, `YYYY-MM-DDTHH:MM`. */
export const LocalTimeField = (about: About) => (
  <Labelled about={about}>
    <input
      id={about.name}
      name={about.name}
      type="datetime-local"
      value={about.typed ?? ''}
      aria-describedby={aboutIds(about)}
      aria-invalid={about.error ? 'true' : undefined}
    />
  </Labelled>
);

/** One box to tick; `value` is what arrives when it is ticked. */
export const CheckBox = ({
  name,
  label,
  value = 'yes',
  typed,
  required,
}: {
  readonly name: string;
  readonly label: string;
  readonly value?: string;
  readonly typed?: string | undefined;
  readonly required?: boolean;
}) => (
  <label class="choice">
    <input type="checkbox" name={name} value={value} checked={typed === value} required={required} />
    <span>{label}</span>
  </label>
);
