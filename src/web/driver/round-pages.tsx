/**
 * What a driver may say of a round beyond its stops, as plain forms: a whole load weighed at unloading, film fetched at a
 * site that the round does not call at, a van that cannot go on. A phone that keeps its own sheet shows its own screens
 * under the same addresses.
 */
import { type Context, Hono } from 'hono';
import type { Child } from 'hono/jsx';
import { z } from 'zod';
import type { Result } from '../../core/quantity/result.ts';
import type { Instant, Kg } from '../../core/quantity/units.ts';
import type { Say } from '../messages/say.ts';
import { SelectField, TextField } from '../shared/controls.tsx';
import { type FieldErrors, readTyped, type Typed } from '../shared/form.ts';
import { refusePage } from '../shared/html-error.tsx';
import { Id, idParam } from '../shared/ids.ts';
import { Field, Page } from '../shared/page.tsx';
import type { SessionEnv } from '../shared/session.ts';
import { sayOf } from '../shared/speak.ts';
import { telUri } from '../shared/uris.ts';
import { AmountControls, at } from '../shared/weigh-in-controls.tsx';
import { type Amounts, readAmounts, readKilograms } from '../shared/weigh-in-fields.ts';
import type { RoundView, RunView } from './run-view.ts';
import type { SentSheet } from './sent-sheet.ts';

type Told<Facts> = Facts & {
  readonly factId: string;
  readonly roundId: string;
  readonly driverId: string;
  readonly at: Instant;
};
type Answer = Result<unknown, { readonly kind: string }>;

export type RoundDeps = {
  now(): Instant;
  newId(): string;
  readRun(driverId: string, nowAt: Instant): RunView;
  readSurroundings(): Pick<SentSheet, 'grades' | 'sites'>;
  /** What a bag of film weighs where nobody knows better. */
  bagKg(): Kg;
  weighLoad(load: Told<{ readonly netKg: Kg }>): Answer;
  recordPickup(pickup: Told<Amounts & { readonly siteId: string }>): Answer;
  takeVanOffRoad(told: Told<{ readonly reason: string }>): Answer;
};

type State = { readonly typed: Typed; readonly errors: FieldErrors };
type ShownRound = { readonly say: Say; readonly run: RunView; readonly round: RoundView };
type PageProps = ShownRound & { readonly state: State };

const FRAME = { role: 'driver', here: '/driver', width: 'narrow', scripts: ['driver-sheet'] } as const;

const FormPage = ({
  say,
  run,
  state,
  title,
  lead,
  button,
  children,
}: Omit<PageProps, 'round'> & {
  readonly title: string;
  readonly lead: string;
  readonly button: string;
  readonly children?: Child;
}) => (
  <Page title={title} workshop={run.workshop.name} say={say} {...FRAME}>
    <p>
      <a href="/driver">{say.sheet.back}</a>
    </p>
    <h1>{title}</h1>
    <p>{lead}</p>
    <form class="run-form" method="post" novalidate>
      <input type="hidden" name="factId" value={state.typed['factId'] ?? ''} />
      {state.errors[''] && (
        <p class="field-error" role="alert">
          {state.errors['']}
        </p>
      )}
      {children}
      <button class="primary" type="submit">
        {button}
      </button>
    </form>
  </Page>
);

const UnloadPage = ({ say, run, state }: PageProps) => (
  <FormPage
    say={say}
    run={run}
    state={state}
    title={say.sheet.unloadTitle}
    lead={say.sheet.unloadLead}
    button={say.sheet.loadHandIn}
  >
    <Field
      name="netKg"
      label={say.sheet.way.net}
      inputmode="decimal"
      autocomplete="off"
      {...at('netKg', state.typed, state.errors)}
    />
  </FormPage>
);

const ExtraPage = ({
  say,
  run,
  round,
  state,
  surroundings: { sites, grades },
}: PageProps & { readonly surroundings: Pick<SentSheet, 'grades' | 'sites'> }) => {
  const onRound = new Set(round.stops.flatMap((stop) => (stop.kind === 'site' ? [stop.siteId] : [])));
  const options = sites
    .filter(({ siteId }) => !onRound.has(siteId))
    .map(({ siteId, name, address }) => ({
      value: siteId,
      label: [name, address].filter(Boolean).join(', '),
    }));
  return (
    <FormPage
      say={say}
      run={run}
      state={state}
      title={say.sheet.extraTitle}
      lead={`${say.sheet.extraLead} ${say.sheet.extraUnknown}`}
      button={say.sheet.handIn}
    >
      <SelectField
        name="siteId"
        label={say.sheet.extraWhere}
        options={options}
        empty="–"
        {...at('siteId', state.typed, state.errors)}
      />
      <AmountControls legend={say.sheet.weighIn} typed={state.typed} errors={state.errors} grades={grades} />
    </FormPage>
  );
};

const OffRoadPage = ({ say, run, state }: PageProps) => {
  const tel = telUri(run.workshop.phone);
  return (
    <FormPage
      say={say}
      run={run}
      state={state}
      title={say.sheet.offRoadTitle}
      lead={say.sheet.offRoadLead}
      button={say.sheet.offRoadSay}
    >
      {tel && (
        <p>
          <a class="button" href={tel}>
            {say.sheet.callWorkshop}
          </a>
        </p>
      )}
      <TextField name="reason" label={say.sheet.offRoadWhat} {...at('reason', state.typed, state.errors)} />
    </FormPage>
  );
};

export const roundPages = (deps: RoundDeps): Hono<SessionEnv> => {
  const shown = (c: Context<SessionEnv>): ShownRound | undefined => {
    const roundId = idParam(c);
    const run = deps.readRun(c.var.session.subjectId, deps.now());
    const round = run.rounds.find((one) => one.roundId === roundId);
    return round && { say: sayOf(c), run, round };
  };
  const pages = {
    unload: (props: PageProps) => <UnloadPage {...props} />,
    extra: (props: PageProps) => <ExtraPage {...props} surroundings={deps.readSurroundings()} />,
    'off-road': (props: PageProps) => <OffRoadPage {...props} />,
  };
  /** What was typed, handed to whom it is for; or sentences beside the fields. */
  const tell: {
    readonly [page in keyof typeof pages]: (
      typed: Typed,
      told: Told<object>,
      say: Say,
    ) => Answer | { readonly ok: undefined; readonly errors: FieldErrors };
  } = {
    unload(typed, told, { sheet }) {
      const netKg = readKilograms(typed['netKg'] ?? '');
      return netKg === undefined || netKg <= 0
        ? { ok: undefined, errors: { netKg: sheet.problem.nothing } }
        : deps.weighLoad({ ...told, netKg });
    },
    extra(typed, told, { sheet }) {
      const { grades, sites } = deps.readSurroundings();
      const siteId = sites.find((site) => site.siteId === typed['siteId'])?.siteId;
      const read = readAmounts(typed, deps.bagKg(), grades);
      const errors = { ...read.errors, ...(siteId === undefined ? { siteId: sheet.extraWhere } : {}) };
      return read.value && siteId !== undefined && Object.keys(read.errors).length === 0
        ? deps.recordPickup({ ...told, ...read.value, siteId })
        : { ok: undefined, errors };
    },
    'off-road': (typed, told) =>
      deps.takeVanOffRoad({ ...told, reason: (typed['reason'] ?? '').trim().slice(0, 500) }),
  };
  const app = new Hono<SessionEnv>();
  for (const name of ['unload', 'extra', 'off-road'] as const)
    app
      .get(`/driver/rounds/:id/${name}`, (c) => {
        const found = shown(c);
        if (!found) return refusePage(c, 'no-such-round', { role: 'driver' });
        return c.html(pages[name]({ ...found, state: { typed: { factId: deps.newId() }, errors: {} } }));
      })
      .post(`/driver/rounds/:id/${name}`, async (c) => {
        const found = shown(c);
        const typed = await readTyped(c);
        const factId = z.object({ factId: Id }).safeParse(typed).data?.factId;
        if (!found || factId === undefined) return refusePage(c, 'no-such-round', { role: 'driver' });
        const told = {
          factId,
          roundId: found.round.roundId,
          driverId: c.var.session.subjectId,
          at: deps.now(),
        };
        const answer = tell[name](typed, told, found.say);
        if (answer.ok) return c.redirect('/driver', 303);
        const { refused, refusedOther } = found.say.sheet;
        const errors =
          answer.ok === undefined ? answer.errors : { '': refused[answer.refusal.kind] ?? refusedOther };
        return c.html(pages[name]({ ...found, state: { typed, errors } }), 422);
      });
  return app;
};
