import { BASELINES, type Backtest, backtest as score } from '../core/accumulation/backtest.ts';
import { readLoadsWeighed } from '../store/evidence.ts';
import { listSites } from '../store/sites.ts';
import { readSiteHistories } from '../usecases/read-site-histories.ts';
import { readWeighInSeries } from '../usecases/read-weigh-in-series.ts';
import { faultText, UnreadableFile } from '../usecases/tables/read-rows.ts';
import { number, plainSpaces } from '../web/shared/format.ts';
import { type Command, DATABASE, JSON_OUTPUT, Refusal } from './command.ts';
import { textTable } from './text-table.ts';
import { say, withDatabase } from './workplace.ts';

export const backtest: Command = {
  name: 'backtest',
  usage: '[--weigh-ins FILE] [--json]',
  summary:
    'How good the estimates were: every past pickup against what was forecast just before it, and against simple rules.',
  details:
    'FILE is a CSV with the columns site, at, net_kg and, where known, capacity_kg, found_full, bags; without it the workshop’s own history is scored. The filter’s parameters are fitted again and again on what had come by then, so every forecast is out of sample.',
  options: [
    DATABASE,
    { name: 'weigh-ins', value: 'FILE', about: 'Score this file instead of the own history.' },
    JSON_OUTPUT,
  ],
  maxWords: 0,
  async run(words) {
    const path = words.text('weigh-ins');
    if (path !== undefined) {
      const { histories, faults } = await readSeries(path);
      if (faults.length > 0) throw new Refusal(faults.slice(0, 50).map(faultText).join('\n'));
      return print(score(histories), words.isOn('json'), (id) => id);
    }
    return withDatabase(words, { mayCreate: false }, ({ store }) => {
      const keys = new Map(listSites(store).map((site) => [site.id, site.key]));
      const result = score(readSiteHistories(store), readLoadsWeighed(store));
      return print(result, words.isOn('json'), (id) => keys.get(id) ?? id);
    });
  },
};

async function readSeries(path: string) {
  try {
    return await readWeighInSeries(path, 'UTC');
  } catch (error) {
    if (error instanceof UnreadableFile) throw new Refusal(error.message);
    throw error;
  }
}

function print(result: Backtest, isJson: boolean, keyOf: (siteId: string) => string): number {
  if (result.evaluated === 0)
    throw new Refusal('There is nothing to score yet: a site needs two weigh-ins or more.');
  if (isJson) {
    const bySite = result.bySite.map(({ siteId, ...rest }) => ({ site: keyOf(siteId), ...rest }));
    say(JSON.stringify({ ...result, bySite }, null, 2));
    return 0;
  }
  const { coverage, crps, mae, bias, baselines } = result;
  const share = (value: number): string => `${number(100 * value, 1)} %`;
  const kg = (value: number): string => `${number(value, 2)} kg`;
  say(
    `${number(result.evaluated)} pickups at ${number(result.series)} sites, each against what was forecast just before it.`,
  );
  say(
    `The 50, 80 and 95 % intervals held ${share(coverage.p50)}, ${share(coverage.p80)} and ${share(coverage.p95)}${Number.isFinite(bias) ? `; bias ${share(bias)}` : ''}.`,
  );
  const names = {
    lastValue: 'last rate',
    movingAverage: 'mean of the last four',
    smoothedRate: 'smoothed rate',
    declared: 'declared volume',
  };
  const rows = [
    ['the estimate', kg(crps), kg(mae)],
    // Where nobody declared a volume, that rule has nothing to say.
    ...BASELINES.filter((name) => !Number.isNaN(baselines[name].crps)).map((name) => [
      names[name],
      kg(baselines[name].crps),
      kg(baselines[name].mae),
    ]),
  ];
  const columns = [
    { head: 'forecast by' },
    { head: 'CRPS', align: 'right' as const },
    { head: 'mean error', align: 'right' as const },
  ];
  say(plainSpaces(textTable(columns, rows)));
  return 0;
}
