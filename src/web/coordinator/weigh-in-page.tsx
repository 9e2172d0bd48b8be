/** One weigh-in: does it fit, is it right, and if not, what should it say. Nothing is overwritten. */
import { localText } from '../../core/calendar/zone.ts';
import { LocalTimeField, SelectField } from '../shared/controls.tsx';
import type { FieldErrors, Typed } from '../shared/form.ts';
import { dateTime, dayYearShort, kg, kgRange, localDay, number, percent } from '../shared/format.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { AmountControls, at, typedAmounts } from '../shared/weigh-in-controls.tsx';
import { METHOD_WORDS } from '../shared/words.ts';
import { DoubtActions } from './doubts.tsx';
import type { WeighInVersion, WeighInView } from './weigh-in-view.ts';

const FRAME = { role: 'coordinator', here: '/sites' } as const;

export type CorrectionForm = { readonly typed: Typed; readonly errors: FieldErrors };

/** Filled with what stands. */
export const freshCorrection = (view: WeighInView, factId: string): CorrectionForm => ({
  typed: {
    factId,
    replacesId: view.now.weighInId,
    site: view.siteId,
    collectedLocal: localText(view.workshop.zone, view.now.at).slice(0, 16),
    ...typedAmounts(view.now.amounts),
  },
  errors: {},
});

type Props = {
  readonly view: WeighInView;
  readonly form: CorrectionForm;
  readonly notice?: Notice | undefined;
};

export const WeighInPage = ({ view, form, notice }: Props) => {
  const { now, workshop } = view;
  const day = dayYearShort(localDay(now.at, workshop.zone));
  return (
    <Page
      title={`Weigh-in of ${day}, ${now.siteName}`}
      workshop={workshop.name}
      notice={notice}
      live={{ about: `site:${view.siteId}` }}
      {...FRAME}
    >
      <p class="kicker">
        <a href="/sites">Sites</a> · <a href={`/sites/${view.siteId}`}>{now.siteName}</a>
      </p>
      <h1>
        {amountWords(now)}, {day}
      </h1>
      <Fit view={view} />
      <div class="two">
        <section aria-labelledby="correct">
          <h2 id="correct">Correct it</h2>
          <p class="hint after">
            What stands is filled in; change only what is wrong. The old entry is kept beside the correction,
            and stock follows.
          </p>
          <Correction view={view} form={form} />
        </section>
        <section aria-labelledby="trace">
          <h2 id="trace">Who entered what</h2>
          <ol class="trace after">
            {view.versions.toReversed().map((version, i) => (
              <li>
                <strong>{amountWords(version)}</strong> at {version.siteName},{' '}
                {dateTime(version.at, workshop.zone)}
                <br />
                <span class="small soft">
                  {METHOD_WORDS[version.method]}; entered by {version.by} on{' '}
                  {dayYearShort(localDay(version.recordedAt, workshop.zone))}
                  {i === 0 ? '; stands now' : '; replaced'}
                  {version.amounts.note && `. ${version.amounts.note}`}
                </span>
              </li>
            ))}
          </ol>
        </section>
      </div>
    </Page>
  );
};

const amountWords = ({ amounts: { netKg, bags, foundFull } }: WeighInVersion): string =>
  [
    netKg === undefined ? undefined : kg(netKg),
    bags === undefined ? undefined : `${number(bags)} bags`,
    foundFull ? 'found full' : undefined,
  ]
    .filter((part) => part !== undefined)
    .join(', ');

const Fit = ({ view: { now, doubt, expected, confirmed, workshop, isCurrent } }: { view: WeighInView }) => (
  <div class="stack">
    {!isCurrent && <p>The entry you asked for was corrected since; this is what stands now.</p>}
    <p class="lead">
      {expected
        ? `Expected just before: ${kgRange(expected.lowKg, expected.highKg)}, with four chances in five.`
        : 'Nothing was expected here yet.'}{' '}
      {doubt && `It does not fit, so it counts ${percent(doubt.weight)} in the estimate.`}
    </p>
    {doubt && <DoubtActions weighInId={now.weighInId} figureOf={amountWords(now)} />}
    {confirmed && (
      <>
        <p>
          Confirmed by {confirmed.by} on {dateTime(confirmed.at, workshop.zone)}: it counts in full.
        </p>
        <form method="post" action={`/weigh-ins/${now.weighInId}/confirmation/withdrawal`}>
          <button type="submit" class="quiet">
            Take the confirmation back
          </button>
        </form>
      </>
    )}
  </div>
);

const Correction = ({ view, form: { typed, errors } }: Pick<Props, 'view' | 'form'>) => (
  <form
    class="run-form after"
    method="post"
    action={`/weigh-ins/${view.now.weighInId}/correction`}
    novalidate
  >
    <input type="hidden" name="factId" value={typed['factId'] ?? ''} />
    <input type="hidden" name="replacesId" value={typed['replacesId'] ?? ''} />
    {view.sites.length > 0 && (
      <SelectField
        name="site"
        label="Where"
        options={view.sites.map(({ id, name }) => ({ value: id, label: name }))}
        {...at('site', typed, errors)}
      />
    )}
    <LocalTimeField name="collectedLocal" label="When" {...at('collectedLocal', typed, errors)} />
    <AmountControls legend="What was taken" typed={typed} errors={errors} grades={view.grades} asksLeft />
    <button class="primary" type="submit">
      Keep the correction
    </button>
  </form>
);
