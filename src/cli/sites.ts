import { fillAt, overflowRisk, quantileKg } from '../core/accumulation/forecast.ts';
import { meanRateKg } from '../core/accumulation/rate.ts';
import { localOf } from '../core/calendar/zone.ts';
import { listSites, searchSites } from '../store/sites.ts';
import { requireWorkshop } from '../store/workshop.ts';
import { learnFills } from '../usecases/learn-fills.ts';
import { ago, kg, kgRange, percent, plainSpaces } from '../web/shared/format.ts';
import { type Command, DATABASE, JSON_OUTPUT } from './command.ts';
import { textTable } from './text-table.ts';
import { say, withDatabase } from './workplace.ts';

const WEEK_S = 7 * 86_400;

export const sites: Command = {
  name: 'sites',
  usage: '[WORDS] [--json]',
  summary: 'Lists the sites, fullest first, with what is estimated to wait there and what that rests on.',
  options: [DATABASE, JSON_OUTPUT],
  run: (words) =>
    withDatabase(words, { mayCreate: false }, ({ store, now }) => {
      const text = words.positionals.join(' ');
      const models = learnFills(store);
      const nowAt = now();
      const today = localOf(requireWorkshop(store).zone, nowAt).day;
      const rows = (text === '' ? listSites(store) : searchSites(store, text))
        .filter((site) => site.activeUntilDay === null || site.activeUntilDay >= today)
        .map((site) => {
          const model = models.get(site.id)!;
          const fill = fillAt(model, nowAt);
          const held = (p: number): number => Math.min(model.capacityKg, quantileKg(fill, p));
          return {
            site,
            model,
            medianKg: held(0.5),
            lowKg: held(0.1),
            highKg: held(0.9),
            fullness: held(0.5) / model.capacityKg,
            riskInAWeek: overflowRisk(fillAt(model, nowAt + WEEK_S), model.capacityKg),
          };
        })
        .sort((a, b) => b.fullness - a.fullness || (a.site.key < b.site.key ? -1 : 1));
      if (words.isOn('json')) {
        say(
          JSON.stringify(
            rows.map(({ site, model, medianKg, lowKg, highKg, riskInAWeek }) => ({
              key: site.key,
              name: site.name,
              median_kg: medianKg,
              low_kg: lowKg,
              high_kg: highKg,
              capacity_kg: model.capacityKg,
              overflow_risk_7_days: riskInAWeek,
              kg_per_week: meanRateKg(model.rate),
              weigh_ins: model.basis.weighIns,
            })),
            null,
            2,
          ),
        );
        return 0;
      }
      if (rows.length === 0) {
        say(text === '' ? 'No sites yet: feedround import sites FILE.csv' : `No site matches "${text}".`);
        return 0;
      }
      const table = textTable(
        [
          { head: 'key' },
          { head: 'site' },
          { head: 'waiting', align: 'right' },
          { head: '80 % range', align: 'right' },
          { head: 'of brim', align: 'right' },
          { head: 'overflow in 7 days', align: 'right' },
          { head: 'a week', align: 'right' },
          { head: 'rests on' },
        ],
        rows.map(({ site, model, medianKg, lowKg, highKg, fullness, riskInAWeek }) => [
          site.key,
          site.name,
          kg(medianKg),
          kgRange(lowKg, highKg),
          percent(fullness),
          percent(riskInAWeek),
          kg(meanRateKg(model.rate)),
          model.basis.lastWeighInAt === undefined
            ? 'declared volume only'
            : `${model.basis.weighIns} weigh-ins, last ${ago(model.basis.lastWeighInAt, nowAt)}`,
        ]),
      );
      say(plainSpaces(table));
      return 0;
    }),
};
