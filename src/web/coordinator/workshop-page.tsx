/** The workshop itself: where it is, what it counts in, what it holds, and which grades it tells apart. */
import { GRADES } from '../../core/vocabulary.ts';
import { FieldError, SelectField } from '../shared/controls.tsx';
import type { FieldErrors, Typed } from '../shared/form.ts';
import { Field, type Notice, Page } from '../shared/page.tsx';
import { gradeName } from '../shared/words.ts';

const FRAME = { role: 'coordinator', here: '/settings' } as const;

export type WorkshopPageProps = {
  /** Its name as it stands; nothing for the first time. */
  readonly name: string | undefined;
  readonly zones: readonly string[];
  readonly typed: Typed;
  readonly errors?: FieldErrors;
  readonly notice?: Notice | undefined;
  /** Grades that are kept already: they can be renamed and priced, not taken away. */
  readonly kept: number;
  readonly rows: number;
};

export const WorkshopPage = ({ name, zones, typed, errors = {}, notice, kept, rows }: WorkshopPageProps) => (
  <Page
    title={name === undefined ? 'Your workshop' : 'The workshop'}
    {...(name === undefined ? {} : { workshop: name })}
    notice={notice}
    {...FRAME}
  >
    <h1>{name === undefined ? 'Your workshop' : 'The workshop'}</h1>
    {name === undefined && (
      <p class="lead">
        Rounds begin and end here. All of it can be changed later; what a plan is weighed by has a page of its
        own.
      </p>
    )}
    <form method="post" action="/workshop" class="workshop-form">
      <fieldset class="fields">
        <legend>
          <h2>Place</h2>
        </legend>
        <Field name="name" label="Name" typed={typed['name']} error={errors['name']} />
        <Field name="address" label="Street and number" typed={typed['address']} error={errors['address']} />
        <div class="fleet-pair">
          <Field
            name="lat"
            label="Latitude, degrees"
            hint="WGS84, north is positive"
            inputmode="text"
            typed={typed['lat']}
            error={errors['lat']}
          />
          <Field
            name="lon"
            label="Longitude, degrees"
            hint="WGS84, east is positive"
            inputmode="text"
            typed={typed['lon']}
            error={errors['lon']}
          />
        </div>
        <div class="fleet-pair">
          <SelectField
            name="zone"
            label="Time zone"
            hint="All days and hours are its own"
            empty="Choose a zone"
            options={zones.map((zone) => ({ value: zone, label: zone.replaceAll('_', ' ') }))}
            typed={typed['zone']}
            error={errors['zone']}
          />
          <Field
            name="currency"
            label="Currency"
            hint="ISO 4217, such as EUR"
            typed={typed['currency']}
            error={errors['currency']}
          />
        </div>
      </fieldset>
      <fieldset class="fields">
        <legend>
          <h2>Film</h2>
        </legend>
        <Field
          name="store_limit_kg"
          label="The store holds, kg"
          hint="What is safe and dry; your fire rules come first."
          inputmode="decimal"
          typed={typed['store_limit_kg']}
          error={errors['store_limit_kg']}
        />
        <div class="fleet-pair">
          <Field
            name="bag_kg"
            label="A full bag weighs, kg"
            hint="Weigh ten and take the mean"
            inputmode="decimal"
            typed={typed['bag_kg']}
            error={errors['bag_kg']}
          />
          <Field
            name="film_kg_per_m3"
            label="A cubic metre of loose film, kg"
            hint="As collected, not pressed"
            inputmode="decimal"
            typed={typed['film_kg_per_m3']}
            error={errors['film_kg_per_m3']}
          />
        </div>
      </fieldset>
      <fieldset>
        <legend>
          <h2>Grades</h2>
        </legend>
        <p>
          What you tell apart when you press: polymer and colour, what people here call it, and what a
          kilogram costs when you must buy it in.
        </p>
        <ul class="grade-rows">
          {Array.from({ length: rows }, (_, i) => (
            <GradeFields i={i} isKept={i < kept} typed={typed} errors={errors} />
          ))}
        </ul>
      </fieldset>
      <p class="actions">
        <button type="submit" class="primary">
          Keep
        </button>
      </p>
    </form>
  </Page>
);

type GradeFieldsProps = {
  readonly i: number;
  readonly isKept: boolean;
  readonly typed: Typed;
  readonly errors: FieldErrors;
};

const GradeFields = ({ i, isKept, typed, errors }: GradeFieldsProps) => {
  const [grade, name, price] = [`grade${i}`, `gradeName${i}`, `gradePrice${i}`];
  return (
    <li class="grade-row">
      {isKept ? (
        <p>
          <input type="hidden" name={grade} value={typed[grade] ?? ''} />
          <strong>{gradeName(GRADES.find((one) => one === typed[grade])!)}</strong>
        </p>
      ) : (
        <label>
          <span class="unseen">Grade, row {i + 1}</span>
          <select name={grade} aria-describedby={errors[grade] ? `${grade}-error` : undefined}>
            <option value="">Another grade</option>
            {GRADES.map((one) => (
              <option value={one} selected={typed[grade] === one}>
                {gradeName(one)}
              </option>
            ))}
          </select>
          <FieldError name={grade} error={errors[grade]} />
        </label>
      )}
      <label>
        <span class="grade-label">Called</span>
        <input
          name={name}
          value={typed[name] ?? ''}
          aria-describedby={errors[name] ? `${name}-error` : undefined}
        />
        <FieldError name={name} error={errors[name]} />
      </label>
      <label>
        <span class="grade-label">Bought in, a kg</span>
        <input
          name={price}
          inputmode="decimal"
          value={typed[price] ?? ''}
          aria-describedby={errors[price] ? `${price}-error` : undefined}
        />
        <FieldError name={price} error={errors[price]} />
      </label>
    </li>
  );
};
