/** "Something happened": every kind of happening, and the form of one. */
import type { Instant } from '../../core/quantity/units.ts';
import type { Field as FactField, FieldType } from '../../usecases/happened/fields.ts';
import { HAPPENING_KINDS, HAPPENINGS, type HappeningKind } from '../../usecases/happened/kinds.ts';
import { LocalTimeField, type Option, SelectField } from '../shared/controls.tsx';
import type { FieldErrors, Typed } from '../shared/form.ts';
import { Field, type Notice, Page } from '../shared/page.tsx';
import { FIELD_WORDS, GROUPS, HAPPENING_WORDS, TYPE_WORDS } from './happened-words.ts';

const FRAME = { role: 'coordinator', here: '/journal' } as const;

export type HappenedView = {
  readonly workshop: { readonly name: string; readonly zone: string };
  readonly nowAt: Instant;
  /** What there is to choose from, by type of fact. */
  readonly options: { readonly [type in FieldType]?: readonly Option[] };
};

export const HappenedPage = ({ workshop }: { readonly workshop: HappenedView['workshop'] }) => (
  <Page title="Something happened" live={false} workshop={workshop.name} {...FRAME}>
    <p class="kicker">
      <a href="/journal">Journal</a>
    </p>
    <h1>What happened?</h1>
    <div class="happenings">
      {GROUPS.map((group) => (
        <section>
          <h2>{group}</h2>
          <ul class="happening-kinds">
            {HAPPENING_KINDS.filter((kind) => HAPPENING_WORDS[kind].group === group).map((kind) => (
              <li>
                <a href={`/happened/${kind}`}>{HAPPENING_WORDS[kind].title}</a>
              </li>
            ))}
          </ul>
        </section>
      ))}
    </div>
  </Page>
);

export type HappenedFormProps = {
  readonly view: HappenedView;
  readonly kind: HappeningKind;
  /** With `factId`: the form's own, so that a second press of the button changes nothing. */
  readonly typed: Typed;
  readonly errors?: FieldErrors;
  readonly notice?: Notice | undefined;
};

export const HappenedFormPage = ({ view, kind, typed, errors = {}, notice }: HappenedFormProps) => {
  const { title, about } = HAPPENING_WORDS[kind];
  const fields: [string, FactField][] = Object.entries(HAPPENINGS[kind].fields);
  const missing = fields.find(([, { type }]) => view.options[type]?.length === 0);
  return (
    <Page title={title} workshop={view.workshop.name} width="narrow" live={false} notice={notice} {...FRAME}>
      <p class="kicker">
        <a href="/happened">What happened?</a>
      </p>
      <h1>{title}</h1>
      <p class="lead">{about}</p>
      {missing ? (
        <p>There is nothing to choose from: no {TYPE_WORDS[missing[1].type].toLowerCase()} fits.</p>
      ) : (
        <form method="post" action={`/happened/${kind}`} class="fields">
          <input type="hidden" name="factId" value={typed['factId'] ?? ''} />
          {fields.map(([name, field]) => (
            <FactInput name={name} field={field} view={view} typed={typed[name]} error={errors[name]} />
          ))}
          <p class="actions">
            <button type="submit" class="primary">
              Note it down
            </button>
          </p>
        </form>
      )}
    </Page>
  );
};

const NUMBERS: readonly FieldType[] = ['kg', 'change-kg', 'bags', 'units', 'fraction'];

type FactInputProps = {
  readonly name: string;
  readonly field: FactField;
  readonly view: HappenedView;
  readonly typed: string | undefined;
  readonly error: string | undefined;
};
const FactInput = ({ name, field: { type, isOptional }, view, typed, error }: FactInputProps) => {
  const { label, hint } = FIELD_WORDS[name] ?? { label: TYPE_WORDS[type] };
  const about = { name, label, ...(hint === undefined ? {} : { hint }), typed, error };
  const options = view.options[type];
  if (options) return <SelectField {...about} options={options} empty="Choose" />;
  if (type === 'instant') return <LocalTimeField {...about} />;
  if (type === 'day') return <Field {...about} type="date" required={!isOptional} />;
  return NUMBERS.includes(type) ? (
    <Field {...about} inputmode={type === 'units' ? 'numeric' : type === 'change-kg' ? 'text' : 'decimal'} />
  ) : (
    <Field {...about} />
  );
};
