/** What this tool is worth to the workshop: simulated years at its own size against what one would do by hand. */
import type { WorthWanted } from '../../usecases/own-workshop.ts';
import type { FieldErrors, Typed } from '../shared/form.ts';
import { dateTime, duration, kg, km, litres, number, percent } from '../shared/format.ts';
import { type Notice, Page } from '../shared/page.tsx';
import {
  differenceWords,
  FIGURE_WORDS,
  notBetter,
  POLICY_WORDS,
  worthVerdict,
} from '../shared/worth-words.ts';
import { LookAgain } from './look-again.tsx';
import { FrontPicture } from './worth-front.tsx';
import { FigurePictures, MoneyPicture } from './worth-pictures.tsx';
import { Start } from './worth-start.tsx';
import type { WorthResult, WorthView } from './worth-view.ts';

const FRAME = { role: 'coordinator', here: '/worth' } as const;

type WorthProps = {
  readonly view: WorthView;
  /** Looks again by itself while something runs. */
  readonly refreshes: boolean;
  readonly form?: { readonly typed: Typed; readonly errors: FieldErrors };
  readonly notice?: Notice | undefined;
};

const REFRESH_S = 5;

export const WorthPage = ({ view, refreshes, form, notice }: WorthProps) => (
  <Page
    live={false}
    title="What this tool is worth to you"
    workshop={view.workshop.name}
    notice={notice}
    {...FRAME}
    {...(view.running && refreshes ? { refreshS: REFRESH_S } : {})}
  >
    <h1>What this tool is worth to you</h1>
    {view.running && <Running view={view} refreshes={refreshes} />}
    {view.result ? (
      <Result result={view.result} view={view} />
    ) : (
      <p class="lead">
        A workshop of your size, drawn by chance, is driven through a year: once with this tool, and once with
        each of four rules that people use with a pencil. Same film, same calls, same prices for all.
      </p>
    )}
    {!view.running && <Start view={view} form={form ?? { typed: {}, errors: {} }} />}
    {view.earlier.length > 0 && <Earlier view={view} />}
    <Rules />
  </Page>
);

// ---- while it runs -------------------------------------------------------------------------------------

const Running = ({
  view: { running },
  refreshes,
}: {
  readonly view: WorthView;
  readonly refreshes: boolean;
}) => {
  if (!running) return null;
  const { progress, forS, isStopping, worldsDone } = running;
  const share = progress?.share ?? 0;
  // Half a minute in, the pace is known.
  const leftS = share > 0.02 ? (forS * (1 - share)) / share : undefined;
  return (
    <section class="at-work" aria-labelledby="running">
      <h2 id="running">Years are being simulated</h2>
      <div role="status">
        <p>
          {progress
            ? `World ${progress.world + 1} of ${progress.worlds}, “${POLICY_WORDS[progress.policy].name}”, week ${progress.weeksDone} of ${progress.weeks}.`
            : 'Starting.'}{' '}
          {leftS !== undefined && !isStopping && `About ${duration(Math.max(60, leftS))} to go.`}
          {isStopping && 'It ends after this week.'}
        </p>
        <progress value={share} max="1" aria-label="Of all years">
          {percent(share)}
        </progress>
      </div>
      <form method="post" action="/worth/stop" class="actions">
        <button type="submit" disabled={isStopping}>
          Stop{worldsDone > 0 && ` and keep ${worldsDone === 1 ? 'the one world' : `${worldsDone} worlds`}`}
        </button>
        <LookAgain path="/worth" everyS={refreshes ? REFRESH_S : undefined} />
      </form>
    </section>
  );
};

// ---- what came out -------------------------------------------------------------------------------------

const Result = ({ result, view }: { readonly result: WorthResult; readonly view: WorthView }) => {
  const { comparison } = result;
  const { currency } = view.workshop;
  const faults = notBetter(comparison, currency);
  const sure = faults.filter(({ standing }) => standing === 'more');
  const open = faults.filter(({ standing }) => standing === 'open');
  return (
    <>
      <p class="lead">{worthVerdict(comparison, currency)}</p>
      <p class="soft">{basis(result, view)}</p>
      {comparison.rules.length > 0 && (
        <>
          <h2>Against each rule of thumb</h2>
          <RuleTable result={result} currency={currency} />
          <h2>Where it is not better</h2>
          {sure.length === 0 ? (
            <p>Nowhere for sure.</p>
          ) : (
            <ul class="worth-faults">
              {sure.map(({ text }) => (
                <li>{text}.</li>
              ))}
            </ul>
          )}
          {open.length > 0 && (
            <details>
              <summary>
                {number(open.length)} {open.length === 1 ? 'difference' : 'differences'} that these worlds
                cannot tell from chance
              </summary>
              <ul class="worth-faults">
                {open.map(({ text }) => (
                  <li>{text}.</li>
                ))}
              </ul>
            </details>
          )}
        </>
      )}
      <h2>Driving against overflow</h2>
      <FrontPicture comparison={comparison} currency={currency} />
      <h2>Where the money goes</h2>
      <MoneyPicture comparison={comparison} currency={currency} />
      <h2>Every figure with its range</h2>
      <FigurePictures comparison={comparison} currency={currency} />
      <Size wanted={result.wanted} />
    </>
  );
};

function basis(
  { startedAt, startedBy, outcome, wanted, tookS, comparison }: WorthResult,
  view: WorthView,
): string {
  const worlds = comparison.worlds === 1 ? 'One drawn year' : `${number(comparison.worlds)} drawn years`;
  const ended =
    outcome === 'done'
      ? ''
      : outcome === 'failed'
        ? ` It broke off after these; ${number(wanted.seeds.length)} were asked for.`
        : ` Stopped after these; ${number(wanted.seeds.length)} were asked for.`;
  const range =
    comparison.worlds === 1
      ? 'One world says little of others: take several to see the range.'
      : 'Ranges hold the true mean 19 times out of 20.';
  return `${worlds} of ${number(wanted.world.weeks)} weeks, simulated ${dateTime(startedAt, view.workshop.zone)} by ${startedBy} in ${duration(tookS)}. A drawn workshop of your size, not yours. ${range}${ended}`;
}

const RuleTable = ({ result, currency }: { readonly result: WorthResult; readonly currency: string }) => {
  const figures = ['moneyMicros', 'kmPerTonne', 'overflowDays', 'boughtInKg'] as const;
  return (
    <section class="scroll" aria-label="Against each rule of thumb" tabindex={0}>
      <table class="worth-rules">
        <caption>What Feedround needs less or more than each; in bold what is more than chance.</caption>
        <thead>
          <tr>
            <th scope="col">Rule of thumb</th>
            {figures.map((figure) => (
              <th scope="col">
                {FIGURE_WORDS[figure].name} <small class="soft">{FIGURE_WORDS[figure].means}</small>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {result.comparison.rules.map((comparison) => (
            <tr>
              <th scope="row">{POLICY_WORDS[comparison.rule].name}</th>
              {figures.map((figure) => {
                const { standing } = comparison.difference[figure];
                const text = differenceWords(figure, comparison, currency);
                return (
                  <td class={standing === 'more' ? 'worth-more' : undefined}>
                    {standing === 'open' ? text : <strong>{text}</strong>}
                  </td>
                );
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
};

const WEEKDAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'];

const Size = ({ wanted }: { readonly wanted: WorthWanted }) => {
  const { size, world } = wanted;
  const { own } = world;
  if (!own) return null;
  const days = WEEKDAYS.filter((_, i) => own.shiftDays[i]);
  return (
    <details>
      <summary>What was simulated, and what was not</summary>
      <dl class="pairs">
        <dt>Yours</dt>
        <dd>
          {number(size.sites)} sites that bring {kg(size.kgPerWeek)} a week; {number(size.shiftsPerWeek, 1)}{' '}
          shifts a week ({days.join(', ')}), {number(own.shiftHours.until - own.shiftHours.from, 1)}&nbsp;h
          each; a van of {kg(own.van.payloadKg)} and {litres(own.van.loadSpaceL)}; production draws{' '}
          {kg(size.needKgPerWeek)} a week; sites {km((world.radiusM * 2) / 3)} away on average; your prices.
        </dd>
        <dt>Drawn</dt>
        <dd>
          Where sites lie, how their film comes and changes, events, who calls, missed stops, how production
          swings. Everything is drawn anew in each world and is the same for every rule.
        </dd>
        {size.vansPerDay > 1.05 && (
          <>
            <dt>Vans</dt>
            <dd>
              {number(size.vansPerDay, 1)} vans are on the road on a day: each is given its own part of the
              town, {number(world.donors)} sites.
            </dd>
          </>
        )}
        <dt>Not in it</dt>
        <dd>
          Promises and habits, traffic, donors who leave after a bad experience, and a coordinator who knows
          better than a rule. The first weeks are for learning and do not count.
        </dd>
      </dl>
    </details>
  );
};

const Earlier = ({ view }: { readonly view: WorthView }) => (
  <details>
    <summary>Earlier runs</summary>
    <ul class="worth-earlier">
      {view.earlier.map(({ runId, startedAt, worlds, weeks }) => (
        <li>
          <a href={`/worth?run=${runId}`}>{dateTime(startedAt, view.workshop.zone)}</a>{' '}
          <span class="soft">
            {worlds === 1 ? '1 world' : `${number(worlds)} worlds`} of {number(weeks)} weeks
          </span>
        </li>
      ))}
    </ul>
  </details>
);

const Rules = () => (
  <details>
    <summary>The rules of thumb</summary>
    <dl class="pairs">
      {Object.values(POLICY_WORDS).map(({ name, does }) => (
        <>
          <dt>{name}</dt>
          <dd>{does}</dd>
        </>
      ))}
    </dl>
    <p class="small soft">
      Each drives its stops in a good order, better than a pencil does. Common practice, no source.
    </p>
  </details>
);
