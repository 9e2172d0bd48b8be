/** The driver's routes: the run sheet of a day, one stop, and the two forms at a stop. */
import { type Context, Hono } from 'hono';
import { z } from 'zod';
import { ROUND_MARKS } from '../../core/vocabulary.ts';
import type { Say } from '../messages/say.ts';
import { readForm, readTyped } from '../shared/form.ts';
import { refusePage } from '../shared/html-error.tsx';
import { Id, idParam } from '../shared/ids.ts';
import type { Notice } from '../shared/page.tsx';
import type { SessionEnv } from '../shared/session.ts';
import { sayOf } from '../shared/speak.ts';
import type { DriverDeps, MissedRefusal, WeighInRefusal } from './driver-deps.ts';
import { questionKey, questionsOf } from './plausible.ts';
import { RunPage } from './run-page.tsx';
import type { RunView, StopPageView } from './run-view.ts';
import { StopPage } from './stop-page.tsx';
import { MissedForm, weighInFacts } from './weigh-in-entry.ts';
import { blankForm, correctionForm, type FormState } from './weigh-in-form.tsx';

const Query = z.object({
  day: z.iso.date().optional().catch(undefined),
  /** The stop that was just handed in. */
  done: z.string().optional(),
});

const REFUSED: { readonly [kind in (WeighInRefusal | MissedRefusal)['kind']]: 404 | 409 | 422 } = {
  'stop-not-found': 404,
  'already-weighed': 409,
  'not-the-latest': 409,
  'already-missed': 409,
  'fact-differs': 409,
  'still-to-come': 422,
};

const MarkForm = z.strictObject({ factId: Id, mark: z.enum(ROUND_MARKS) });
const STALE: { readonly [did: string]: Notice } = {
  stale: {
    kind: 'warning',
    text: 'Nothing was noted: the round already stood otherwise. This is how it stands.',
  },
};

type Shown = { readonly weighIn?: FormState; readonly missed?: FormState; readonly notice?: Notice };
type FormStatus = 200 | 404 | 409 | 422;

export const driverPages = (deps: DriverDeps): Hono<SessionEnv> => {
  const findStop = (c: Context<SessionEnv>): StopPageView | undefined => {
    const stopId = idParam(c);
    return stopId === undefined ? undefined : deps.readStop(c.var.session.subjectId, stopId, deps.now());
  };

  const showStop = (c: Context<SessionEnv>, view: StopPageView, shown: Shown, status: FormStatus) => {
    const { outcome } = view.stop;
    const fresh =
      outcome?.kind === 'weighed' ? correctionForm(deps.newId(), outcome) : blankForm(deps.newId());
    const { weighIn = fresh, missed = blankForm(deps.newId()), notice } = shown;
    return c.html(
      <StopPage say={sayOf(c)} view={view} weighIn={weighIn} missed={missed} notice={notice} />,
      status,
    );
  };

  /** The page as it stands now, with what was typed and one sentence; the refused form is the one on it. */
  const refused = (
    c: Context<SessionEnv>,
    refusal: WeighInRefusal | MissedRefusal,
    form: 'weighIn' | 'missed',
    state: FormState,
  ) => {
    const status = REFUSED[refusal.kind];
    const sentence = sayOf(c).driver.refusals[refusal.kind];
    const view = findStop(c);
    if (!view || status === 404) return refusePage(c, 'no-such-stop', { detail: sentence, role: 'driver' });
    // A form that came too late is useless as it was: show what stands, and a fresh correction of it.
    const isStale = refusal.kind !== 'already-missed' && view.stop.outcome?.kind === 'weighed';
    const notice: Notice = { kind: 'warning', text: sentence };
    return showStop(c, view, isStale ? { notice } : { [form]: state, notice }, status);
  };

  const handedIn = (c: Context<SessionEnv>, view: StopPageView) =>
    c.redirect(`/driver?day=${view.round.day}&done=${view.stop.stopId}#${anchorAfter(view)}`, 303);

  return new Hono<SessionEnv>()
    .get('/driver', (c) => {
      const query = Query.parse({ day: c.req.query('day'), done: c.req.query('done') });
      const view = deps.readRun(c.var.session.subjectId, deps.now());
      const day = query.day ?? firstDay(view);
      const notice = noticeOf(view, query.done, sayOf(c)) ?? STALE[c.req.query('did') ?? ''];
      return c.html(<RunPage say={sayOf(c)} view={view} day={day} notice={notice} factId={deps.newId()} />);
    })
    .post('/driver/rounds/:id/marks', async (c) => {
      const roundId = idParam(c);
      const form = await readForm(c, MarkForm);
      if (roundId === undefined || !form.ok) return refusePage(c, 'malformed', { role: 'driver' });
      const marked = deps.markRound({
        ...form.value,
        roundId,
        at: deps.now(),
        driverId: c.var.session.subjectId,
      });
      if (!marked.ok && marked.refusal.kind === 'round-not-found')
        return refusePage(c, 'no-such-round', { role: 'driver' });
      // Whatever else stands against it, the sheet shows how the round stands now.
      return c.redirect(marked.ok ? '/driver' : '/driver?did=stale', 303);
    })
    .get('/driver/stops/:id', (c) => {
      const view = findStop(c);
      return view ? showStop(c, view, {}, 200) : refusePage(c, 'no-such-stop', { role: 'driver' });
    })
    .post('/driver/stops/:id/weigh-in', async (c) => {
      const view = findStop(c);
      if (!view) return refusePage(c, 'no-such-stop', { role: 'driver' });
      const typed = await readTyped(c);
      const read = weighInFacts(typed, view);
      if (!read.ok) {
        const state = { typed, errors: read.errors, questions: [] };
        return showStop(c, view, { weighIn: state }, 422);
      }
      const questions = questionsOf(read.value, view.stop, view.round.payloadKg);
      if (questions.length > 0 && typed['confirmed'] !== questionKey(questions))
        return showStop(c, view, { weighIn: { typed, errors: {}, questions } }, 422);

      const done = deps.recordWeighIn({
        ...read.value,
        stopId: view.stop.stopId,
        driverId: c.var.session.subjectId,
      });
      return done.ok
        ? handedIn(c, view)
        : refused(c, done.refusal, 'weighIn', { typed, errors: {}, questions: [] });
    })
    .post('/driver/stops/:id/missed', async (c) => {
      const view = findStop(c);
      if (!view) return refusePage(c, 'no-such-stop', { role: 'driver' });
      const read = await readForm(c, MissedForm);
      if (!read.ok) {
        const state = { typed: read.typed, errors: read.errors, questions: [] };
        return showStop(c, view, { missed: state }, 422);
      }
      const { factId, reason, missedNote = '' } = read.value;
      const done = deps.recordMissedStop({
        factId,
        reason,
        note: missedNote,
        stopId: view.stop.stopId,
        driverId: c.var.session.subjectId,
        at: deps.now(),
      });
      return done.ok
        ? handedIn(c, view)
        : refused(c, done.refusal, 'missed', { typed: read.typed, errors: {}, questions: [] });
    });
};

/** Today if it has a round, otherwise the next day that has one. */
function firstDay({ rounds, todayDay }: RunView): string {
  const days = rounds.map(({ day }) => day).sort();
  return days.find((day) => day >= todayDay) ?? todayDay;
}

/** Where to look after handing in: the next stop of the round that is still to do. */
function anchorAfter({ round, stop }: StopPageView): string {
  const next = round.stops.find((s) => s.kind === 'site' && !s.outcome && s.stopId !== stop.stopId);
  return `stop-${(next ?? stop).stopId}`;
}

function noticeOf({ rounds }: RunView, doneId: string | undefined, say: Say): Notice | undefined {
  for (const { stops } of rounds)
    for (const stop of stops)
      if (stop.kind === 'site' && stop.stopId === doneId && stop.outcome)
        return { kind: 'done', text: `Handed in: ${stop.name}, ${say.driver.outcome(stop.outcome)}.` };
  return undefined;
}
