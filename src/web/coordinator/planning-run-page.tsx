/** A week being planned: how far it is, what the best week so far costs, and two ways to end it. */
import type { Seconds } from '../../core/quantity/units.ts';
import { duration, km, money, number, percent, time } from '../shared/format.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { MONEY_WORDS, moneyParts } from '../shared/words.ts';
import { LookAgain } from './look-again.tsx';
import { BetterWeeks, secondsWords } from './planning-run-picture.tsx';
import type { PlanningRunView } from './planning-run-view.ts';

type Props = {
  readonly view: PlanningRunView;
  /** Looks again by itself while it runs. */
  readonly refreshes: boolean;
  readonly notice?: Notice | undefined;
};

const FRAME = { role: 'coordinator', here: '/week' } as const;
const REFRESH_S = 2;

const TITLES = {
  running: 'The week is being planned',
  stopping: 'The best week so far is being kept',
  done: 'The week is planned',
  dropped: 'Dropped',
  failed: 'The week could not be planned',
} as const;

export const PlanningRunPage = ({ view, refreshes, notice }: Props) => {
  const { run, workshop } = view;
  const isOn = run.state === 'running' || run.state === 'stopping';
  return (
    <Page
      live={false}
      title={TITLES[run.state]}
      workshop={workshop.name}
      notice={notice}
      {...FRAME}
      {...(isOn && refreshes ? { refreshS: REFRESH_S } : {})}
    >
      <p class="kicker">
        {run.startedBy} started it at {time(run.startedAt, workshop.zone)}.
      </p>
      <h1>{TITLES[run.state]}</h1>
      {isOn ? <AtWork view={view} refreshes={refreshes} /> : <Over state={run.state} />}
    </Page>
  );
};

const OVER = {
  done: 'The draft is on the week sheet.',
  dropped: 'Nothing was kept. The week sheet is as it was.',
  failed:
    'Something broke on our side, and nothing was kept. Plan again; if it happens twice, look into the server’s log.',
} as const;

const Over = ({ state }: { readonly state: PlanningRunView['run']['state'] }) => (
  <>
    <p class="lead">{state === 'running' || state === 'stopping' ? '' : OVER[state]}</p>
    <form method="post" action="/week/plan" class="actions">
      <button type="submit">Plan again</button>
      <a href="/week">To the week sheet</a>
    </form>
  </>
);

const AtWork = ({ view, refreshes }: Omit<Props, 'notice'>) => {
  const { run, workshop } = view;
  const { progress } = run;
  return (
    <>
      <section class="at-work" aria-label="How far it is">
        <div role="status">
          <p>{howFar(view)}</p>
          <progress value={progress?.share ?? 0} max="1" aria-label="Of the search">
            {percent(progress?.share ?? 0)}
          </progress>
        </div>
        {progress && (
          <dl class="best-so-far">
            <div>
              <dt>Best week so far</dt>
              <dd>{money(progress.costMicros, workshop.currency)}</dd>
            </div>
            <div>
              <dt>Driving</dt>
              <dd>{km(progress.distanceM)}</dd>
            </div>
          </dl>
        )}
        <form method="post" action={`/planning/${run.id}/stop`} class="actions">
          <button type="submit" name="how" value="keep" class="primary" disabled={run.state === 'stopping'}>
            Stop here and keep the best
          </button>
          <button type="submit" name="how" value="drop">
            Drop it
          </button>
        </form>
        <p>
          <LookAgain path={`/planning/${run.id}`} everyS={refreshes ? REFRESH_S : undefined} />
        </p>
      </section>
      <p class="soft">
        Everything else works meanwhile, and this page may be closed. The plan comes as a draft: drivers and
        donors see nothing of it before you publish.
      </p>
      {progress && (
        <>
          <h2>What the best week costs, the longer it searches</h2>
          <BetterWeeks better={run.better} forS={run.forS} currency={workshop.currency} />
          <h2>What that money is</h2>
          <table class="best-parts">
            <caption>The best week so far, largest part first.</caption>
            <thead>
              <tr>
                <th scope="col">Part</th>
                <th scope="col" class="number">
                  Money
                </th>
              </tr>
            </thead>
            <tbody>
              {moneyParts(progress.money).map(({ part, micros }) => (
                <tr>
                  <th scope="row">
                    {MONEY_WORDS[part].name} <small class="soft">{MONEY_WORDS[part].means}</small>
                  </th>
                  <td class="number">{money(micros, workshop.currency)}</td>
                </tr>
              ))}
            </tbody>
            <tfoot>
              <tr>
                <th scope="row">Together</th>
                <td class="number">{money(progress.costMicros, workshop.currency)}</td>
              </tr>
            </tfoot>
          </table>
        </>
      )}
    </>
  );
};

/** "42 % done: 1,680 of 4,000 tries. About 3 s to go." */
function howFar({ run: { progress, state, iterations, seconds } }: PlanningRunView): string {
  if (state === 'stopping') return 'It lays out the best week it has found and checks it.';
  if (!progress) return 'Starting: the first whole week comes in a moment.';
  const { share, iteration, forS } = progress;
  const done =
    seconds === undefined
      ? `${number(iteration)} of ${number(iterations)} tries`
      : `${span(forS)} of ${span(seconds)}, ${number(iteration)} tries`;
  const leftS = share > 0.05 ? (forS * (1 - share)) / share : undefined;
  const left = leftS === undefined ? '' : ` About ${span(Math.max(1, leftS))} to go.`;
  return `${percent(share)} done: ${done}.${left}`;
}

/** Seconds for as long as one counts them. */
const span = (forS: Seconds): string => (forS < 90 ? secondsWords(Math.round(forS)) : duration(forS));
