/** How good the estimates were on the workshop's own history: plain words first, the names of the trade second. */
import { BASELINES, type Backtest, type Baseline, type Score } from '../../core/accumulation/backtest.ts';
import { LEAST_PICKUPS } from '../../core/accumulation/fit-parameters.ts';
import type { ScoredHistory, ScorePhase } from '../../usecases/score-history.ts';
import { kg, number } from '../shared/format.ts';
import { Page } from '../shared/page.tsx';
import type { BacktestView, SiteOrder } from './backtest-view.ts';
import { at2 } from './day-scale.ts';
import { LookAgain } from './look-again.tsx';
import { per } from './marks.tsx';

const FRAME = { role: 'coordinator', here: '/sites' } as const;
const REFRESH_S = 4;
/** Below this many pickups a share is too rough to judge by. */
const FEW = 50;

export const BacktestPage = ({ view }: { readonly view: BacktestView }) => {
  const { state, workshop, refreshes } = view;
  const isRunning = state.kind === 'running';
  return (
    <Page
      live={false}
      title="How good the estimates were"
      workshop={workshop.name}
      {...(isRunning && refreshes ? { refreshS: REFRESH_S } : {})}
      {...FRAME}
    >
      <p class="kicker">
        <a href="/sites">Sites</a>
      </p>
      <h1>How good the estimates were</h1>
      {state.kind === 'running' && <Running phase={state.phase} forS={state.forS} refreshes={refreshes} />}
      {state.kind === 'failed' && (
        <p class="notice notice-warning" role="alert">
          It could not be worked out: {state.message} It can be tried again in a minute:{' '}
          <a href="/backtest">look again</a>.
        </p>
      )}
      {state.kind === 'ready' &&
        (state.scored.result.evaluated === 0 ? (
          <TooLittle scored={state.scored} />
        ) : (
          <Scored scored={state.scored} view={view} />
        ))}
    </Page>
  );
};

const PHASES: { readonly [phase in ScorePhase]: string } = {
  reading: 'Step 1 of 2: reading the history.',
  scoring: 'Step 2 of 2: forecasting every pickup from what was known before it.',
};

const Running = ({
  phase,
  forS,
  refreshes,
}: {
  readonly phase: ScorePhase;
  readonly forS: number;
  readonly refreshes: boolean;
}) => (
  <div role="status" class="stack">
    <p class="lead">It is being worked out. {PHASES[phase]}</p>
    <p>
      Running for {number(forS)} s. A long history takes up to a minute; everything else works meanwhile.{' '}
      <LookAgain path="/backtest" everyS={refreshes ? REFRESH_S : undefined} />
    </p>
  </div>
);

const TooLittle = ({ scored }: { readonly scored: ScoredHistory }) => (
  <div class="stack">
    <p class="lead">
      There is nothing to compare yet:{' '}
      {scored.pickups === 0 ? 'nothing has been weighed' : `${number(scored.pickups)} weigh-ins so far`}.
    </p>
    <p>
      An estimate can be checked from a site’s second weigh-in on: it is forecast from the first, and then the
      scale says what was true. About {FEW} of them make a figure to rely on.
    </p>
    <p>
      Weigh-ins come from drivers’ run sheets. Those of the past teach at once:{' '}
      <code>npx feedround import weigh-ins FILE</code>, with the columns <code>site</code>, <code>at</code>{' '}
      and <code>net_kg</code>.
    </p>
  </div>
);

const Scored = ({ scored, view }: { readonly scored: ScoredHistory; readonly view: BacktestView }) => {
  const { result } = scored;
  const inside = Math.round(100 * result.coverage.p80);
  return (
    <>
      <p class="lead">
        Of 100 pickups, {inside} lay inside the interval that should hold 80. {intervalVerdict(result)}
      </p>
      <p class="soft">{basisWords(scored)}</p>
      <div class="two">
        <section aria-labelledby="inside">
          <h2 id="inside">How many lay inside</h2>
          <CoveragePicture result={result} />
        </section>
        <section aria-labelledby="where">
          <h2 id="where">Where they lay</h2>
          <PitPicture pit={result.pit} />
        </section>
        <section aria-labelledby="against">
          <h2 id="against">Against simple rules</h2>
          <Against result={result} />
        </section>
        <section aria-labelledby="level">
          <h2 id="level">Too high or too low</h2>
          <p class="after">{biasWords(result)}</p>
          <p class="small soft after">
            In the trade’s terms: bias {signedPercent(result.bias)}, the sum of all forecasts over the sum of
            all that was weighed, less one.
          </p>
        </section>
      </div>
      <h2 id="by-site">Site by site</h2>
      <SiteScores result={result} view={view} />
      <p class="small soft">
        “Inside” is the coverage of the 80 % interval. “Misses by” is the mean absolute error of the middle.
        CRPS (continuous ranked probability score) weighs the whole forecast against what came; in kg, less is
        better. Under {FEW} pickups a share is rough.
      </p>
    </>
  );
};

function basisWords({ result, pickups }: ScoredHistory): string {
  const what = `${number(result.evaluated)} pickups at ${number(result.series)} ${result.series === 1 ? 'site' : 'sites'}, each set beside what was forecast just before it.`;
  return pickups < LEAST_PICKUPS
    ? `${what} The history of ${number(pickups)} weigh-ins is still short, so the settings are the ones that every new workshop starts with.`
    : `${what} The settings were chosen again and again along the way, always on the pickups that had come by then, so nothing counted here was known beforehand.`;
}

/** Two standard errors of a share, or three points of a hundred, whichever is more. */
function intervalVerdict({ coverage, evaluated }: Score): string {
  const slack = Math.max(0.03, 2 * Math.sqrt(0.16 / evaluated));
  if (evaluated < FEW) return 'That is too few pickups to judge by.';
  if (coverage.p80 < 0.8 - slack) return 'The intervals are too narrow: expect more surprises than they say.';
  if (coverage.p80 > 0.8 + slack)
    return 'The intervals are wider than they need be: the estimates know more than they say.';
  return 'You can take the intervals at their word.';
}

const signedPercent = (share: number): string =>
  `${share > 0 && Math.abs(share) >= 0.0005 ? '+' : ''}${number(100 * share, 1)}\u00a0%`;

function biasWords({ bias, meanKg }: Score): string {
  const weighed = `A pickup brought ${kg1(meanKg)} on average`;
  if (Math.abs(bias) < 0.005) return `${weighed}, and that is what was forecast.`;
  return `${weighed}; ${kg1(meanKg * (1 + bias))} were forecast, ${number(100 * Math.abs(bias), 1)}\u00a0% too ${bias > 0 ? 'much' : 'little'}.`;
}

// ---- pictures ----------------------------------------------------------------------------------------------

const LEVELS = [
  { level: 0.5, name: 'half', key: 'p50' },
  { level: 0.8, name: 'four in five', key: 'p80' },
  { level: 0.95, name: 'nineteen in twenty', key: 'p95' },
] as const;

const CoveragePicture = ({ result }: { readonly result: Score }) => (
  <figure class="after">
    <dl class="cover-bars">
      {LEVELS.map(({ level, name, key }) => (
        <>
          <dt>
            Should hold {number(100 * level)} of 100 <span class="soft">({name})</span>
          </dt>
          <dd>
            <svg class="bar" width="100%" height="26" aria-hidden="true" focusable="false">
              <rect class="bar-ground" x="0" y="7" width="100%" height="12" />
              <rect class="bar-fill" x="0" y="7" width={per(100 * result.coverage[key])} height="12" />
              <line class="bar-aim" x1={per(100 * level)} x2={per(100 * level)} y1="1" y2="25" />
            </svg>
            <span>
              held <strong>{number(100 * result.coverage[key], 1)}</strong>
            </span>
          </dd>
        </>
      ))}
    </dl>
    <figcaption class="small soft">
      The bar is what came, the upright line what should. In the trade’s terms: coverage of the central 50, 80
      and 95 % intervals.
    </figcaption>
  </figure>
);

const PIT_PX = 150;
const PitPicture = ({ pit }: { readonly pit: readonly number[] }) => {
  const top = Math.max(0.15, ...pit) * 1.08;
  const y = (share: number): number => at2(PIT_PX * (1 - share / top));
  return (
    <figure class="after">
      <svg
        class="pit"
        width="100%"
        height={PIT_PX + 20}
        role="img"
        aria-label={`Share of pickups in each tenth of the forecast, from lowest to highest: ${pit.map((share) => `${number(100 * share)} %`).join(', ')}. Even would be 10 % each.`}
      >
        {pit.map((share, i) => (
          <>
            <rect
              class="bar-fill"
              x={per(10 * i + 0.6)}
              width={per(8.8)}
              y={y(share)}
              height={at2(PIT_PX - y(share))}
            />
            <text class="pit-figure" x={per(10 * i + 5)} y={PIT_PX - 6} text-anchor="middle">
              {number(100 * share)}
            </text>
          </>
        ))}
        <line class="bar-aim" x1="0" x2="100%" y1={y(0.1)} y2={y(0.1)} />
        <line class="ground" x1="0" x2="100%" y1={PIT_PX} y2={PIT_PX} />
        <text x="0" y={PIT_PX + 15}>
          less than forecast
        </text>
        <text x="100%" y={PIT_PX + 15} text-anchor="end">
          more than forecast
        </text>
      </svg>
      <figcaption class="small soft">
        {pitWords(pit)} Each bar is a tenth of what was thought possible and should hold 10 of 100 pickups,
        the level line. In the trade’s terms: histogram of the probability integral transform (PIT).
      </figcaption>
    </figure>
  );
};

function pitWords(pit: readonly number[]): string {
  const sum = (from: number, until: number) => pit.slice(from, until).reduce((a, b) => a + b, 0);
  const [low, high] = [sum(0, 5), sum(5, 10)];
  const ends = sum(0, 1) + sum(9, 10);
  if (ends > 0.26) return 'Too many lie at the two ends: the intervals are too narrow.';
  if (ends < 0.14) return 'Few lie at the two ends: the intervals are wider than they need be.';
  if (low - high > 0.1) return 'More lie on the left: forecasts tend to be too high.';
  if (high - low > 0.1) return 'More lie on the right: forecasts tend to be too low.';
  return 'They lie about evenly, as they should.';
}

const RULES: { readonly [name in Baseline]: string } = {
  smoothedRate: 'Smoothed rate of the site',
  movingAverage: 'Mean of the last four',
  lastValue: 'Same rate as last time',
  declared: 'What the donor declared',
};

const Against = ({ result }: { readonly result: Backtest }) => {
  const rows = [
    { name: 'The estimate', crps: result.crps, mae: result.mae, isOurs: true },
    ...BASELINES.map((name) => ({ name: RULES[name], ...result.baselines[name], isOurs: false })).sort(
      (a, b) => a.crps - b.crps,
    ),
  ].filter((row) => Number.isFinite(row.crps));
  const most = Math.max(...rows.map((row) => row.crps));
  const best = rows.find((row) => !row.isOurs);
  return (
    <>
      {best && <p class="after">{againstWords(result, best)}</p>}
      <section class="scroll" aria-label="Against simple rules" tabindex={0}>
        <table class="after against">
          <thead>
            <tr>
              <th scope="col">Forecast by</th>
              <th scope="col" class="number">
                Misses by
              </th>
              <th scope="col" class="number">
                CRPS
              </th>
              <th scope="col" class="against-bar">
                <span class="unseen">Picture of the CRPS</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <tr>
                <th scope="row">{row.isOurs ? <strong>{row.name}</strong> : row.name}</th>
                <td class="number">{kg2(row.mae)}</td>
                <td class="number">{kg2(row.crps)}</td>
                <td class="against-bar">
                  <svg class="bar" width="100%" height="14" aria-hidden="true" focusable="false">
                    <rect
                      class={row.isOurs ? 'bar-fill' : 'bar-other'}
                      x="0"
                      y="1"
                      width={per((100 * row.crps) / most)}
                      height="12"
                    />
                  </svg>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </>
  );
};

const kg1 = (value: number): string => `${number(value, 1)}\u00a0kg`;
const kg2 = (value: number): string => `${number(value, 2)}\u00a0kg`;

function againstWords(ours: Score, best: { readonly name: string; readonly crps: number }): string {
  const less = 1 - ours.crps / best.crps;
  const rule = best.name.charAt(0).toLowerCase() + best.name.slice(1);
  if (Math.abs(less) < 0.005) return `As good as the best simple rule (${rule}).`;
  return less > 0
    ? `By the score that weighs the whole forecast, ${number(100 * less)}\u00a0% better than the best simple rule (${rule}).`
    : `The best simple rule (${rule}) did better, by ${number(-100 * less)}\u00a0%. Look at the sites below that miss by most.`;
}

// ---- by site -----------------------------------------------------------------------------------------------

type SiteScore = Backtest['bySite'][number] & { readonly name: string };

const COLUMNS: readonly {
  readonly order: SiteOrder;
  readonly head: string;
  readonly compare: (a: SiteScore, b: SiteScore) => number;
}[] = [
  { order: 'name', head: 'Site', compare: (a, b) => a.name.localeCompare(b.name) },
  { order: 'pickups', head: 'Pickups', compare: (a, b) => b.evaluated - a.evaluated },
  { order: 'mass', head: 'A pickup brings', compare: (a, b) => b.meanKg - a.meanKg },
  { order: 'inside', head: 'Inside 80 %', compare: (a, b) => a.coverage.p80 - b.coverage.p80 },
  { order: 'error', head: 'Misses by', compare: (a, b) => b.mae - a.mae },
  { order: 'crps', head: 'CRPS', compare: (a, b) => b.crps - a.crps },
  { order: 'bias', head: 'Too high or low', compare: (a, b) => Math.abs(b.bias) - Math.abs(a.bias) },
];

const SiteScores = ({ result, view }: { readonly result: Backtest; readonly view: BacktestView }) => {
  const chosen = COLUMNS.find(({ order }) => order === view.order)!;
  const rows = result.bySite
    .map((score): SiteScore => ({ ...score, name: view.siteNames[score.siteId] ?? score.siteId }))
    .sort((a, b) => chosen.compare(a, b) || a.name.localeCompare(b.name));
  return (
    <section class="scroll" aria-label="Site by site" tabindex={0}>
      <table>
        <caption>Click a heading to put the sites in that order, the most remarkable first.</caption>
        <thead>
          <tr>
            {COLUMNS.map(({ order, head }) => (
              <th
                scope="col"
                class={order === 'name' ? undefined : 'number'}
                aria-sort={
                  order === chosen.order
                    ? order === 'name' || order === 'inside'
                      ? 'ascending'
                      : 'descending'
                    : undefined
                }
              >
                <a href={`/backtest?order=${order}#by-site`}>{head}</a>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr id={`site-${row.siteId}`}>
              <th scope="row">
                <a href={`/sites/${row.siteId}`}>{row.name}</a>
              </th>
              <td class="number">{number(row.evaluated)}</td>
              <td class="number">{kg(row.meanKg)}</td>
              <td class="number">
                {number(row.coverage.p80 * row.evaluated)} of {number(row.evaluated)}
              </td>
              <td class="number">{kg(row.mae)}</td>
              <td class="number">{kg(row.crps)}</td>
              <td class="number">{Number.isFinite(row.bias) ? signedPercent(row.bias) : '–'}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
};
