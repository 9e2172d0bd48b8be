/** A week of rounds in words, for a terminal or a sheet of paper. */
import type { Plan, PlannedRound } from '../core/planning/plan.ts';
import type { Grade } from '../core/vocabulary.ts';
import type { ProductionOutlook } from '../usecases/production-outlook.ts';
import * as format from '../web/shared/format.ts';
import { adviceSentence, buyInSentence } from '../web/shared/production-words.ts';
import { leaveOutFirst, neverLeftOut, neverSentence } from '../web/shared/skip-words.ts';
import * as words from '../web/shared/words.ts';
import { textTable } from './text-table.ts';

export type Names = {
  readonly workshop: string;
  readonly zone: string;
  readonly currency: string;
  readonly site: (siteId: string) => string;
  readonly van: (vanId: string) => string;
  readonly driver: (driverId: string) => string;
};

/** With `outlook`, what is to be bought in and what production could shift as well. */
export function printPlan(plan: Plan, names: Names, outlook?: ProductionOutlook): string {
  const { currency } = names;
  const lastDay = plan.days.at(-1)!;
  const blocks = [
    `${names.workshop}: ${format.dayLong(plan.firstDay)} to ${format.dayLong(lastDay)}`,
    summary(plan, currency),
    ...unkept(plan, names),
    stock(plan),
    ...(outlook ? [production(outlook, currency)] : []),
    ...plan.rounds.map((round) => printRound(round, names)),
    leftOut(plan, names),
    money(plan, currency),
  ];
  return format.plainSpaces(blocks.filter((block) => block !== '').join('\n\n'));
}

function summary(plan: Plan, currency: string): string {
  const stops = plan.rounds.flatMap((round) => round.stops).filter((stop) => stop.kind === 'site');
  const distanceM = plan.rounds.reduce((sum, round) => sum + round.distanceM, 0);
  const workS = plan.rounds.reduce((sum, round) => sum + (round.endAt - round.startAt), 0);
  const kg = stops.reduce((sum, stop) => sum + stop.expectedKg, 0);
  return [
    `${plan.rounds.length} rounds, ${stops.length} stops, ${format.km(distanceM)}, ${format.duration(workS)},`,
    `${format.kg(kg)} expected; cost by the plan's prices ${format.money(plan.costMicros, currency)}.`,
  ].join(' ');
}

const unkept = (plan: Plan, names: Names): string[] =>
  plan.unkept.map((promise) => {
    const { what, mend } = words.unkeptPromise(promise, names);
    return `! ${names.site(promise.siteId)}: ${what} ${mend}`;
  });

/** Total stock at each day's end against production, and the grade that is nearest to running out. */
function stock(plan: Plan): string {
  if (plan.stock.length === 0) return '';
  const rows = plan.days.map((day) => {
    const today = plan.stock.filter((row) => row.day === day);
    const sum = (key: 'drawKg' | 'arrivingKg' | 'stockKg' | 'shortKg'): number =>
      today.reduce((total, row) => total + row[key], 0);
    const tightest = today
      .filter((row) => row.shortageRisk >= 0.05)
      .sort((a, b) => b.shortageRisk - a.shortageRisk)[0];
    return [
      format.dayShort(day),
      format.kg(sum('arrivingKg')),
      format.kg(sum('drawKg')),
      format.kg(sum('stockKg')),
      sum('shortKg') >= 0.05 ? format.kg(sum('shortKg')) : '-',
      tightest ? `${gradeName(tightest.grade)} ${format.percent(tightest.shortageRisk)}` : '-',
    ];
  });
  return textTable(
    [
      { head: 'Store' },
      { head: 'arrives', align: 'right' },
      { head: 'pressed', align: 'right' },
      { head: 'in store', align: 'right' },
      { head: 'to buy in', align: 'right' },
      { head: 'chance of running short' },
    ],
    rows,
  );
}

const production = (outlook: ProductionOutlook, currency: string): string =>
  [
    buyInSentence(outlook, currency),
    ...(outlook.advice.length > 0 ? ['What production could shift, each on its own:'] : []),
    ...outlook.advice.map((one) => `- ${adviceSentence(one, currency)}`),
  ].join('\n');
const gradeName = (grade: Grade): string => words.gradeName(grade);

function printRound(round: PlannedRound, names: Names): string {
  const { zone } = names;
  const head = [
    `${format.weekdayLong(round.day)}, ${names.van(round.vanId)} with ${names.driver(round.driverId)}:`,
    `${format.timeSpan(round.startAt, round.endAt, zone)}, ${format.km(round.distanceM)},`,
    `fullest ${format.kg(round.loadKg)} of ${format.kg(round.payloadKg)} and ${format.litres(round.loadL)} of ${format.litres(round.loadSpaceL)},`,
    `chance of filling early ${format.percent(round.fullEarlyRisk)}`,
  ].join(' ');
  const rows = round.stops.map((stop) => [
    format.time(stop.startAt, zone),
    stop.kind === 'site' ? names.site(stop.siteId ?? '') : stop.kind === 'unload' ? '(unload)' : '(break)',
    stop.kind === 'site' ? format.kg(stop.expectedKg) : '',
    stop.kind === 'site' ? format.kgRange(stop.lowKg, stop.highKg) : '',
    stop.reason ? words.stopReason(stop.reason, names) : '',
  ]);
  const columns = [
    { head: 'at' },
    { head: 'stop' },
    { head: 'expected', align: 'right' as const },
    { head: '80 % range', align: 'right' as const },
    { head: 'why' },
  ];
  const skip = round.skipFirst.map(names.site);
  const kept = neverLeftOut(round.stops).map(({ stop, why }) => ({
    name: names.site(stop.siteId ?? ''),
    why,
  }));
  return [
    head,
    textTable(columns, rows),
    `If the van is full early: ${[leaveOutFirst(skip), neverSentence(kept)].filter(Boolean).join(' ')}`,
  ].join('\n');
}

function leftOut(plan: Plan, names: Names): string {
  if (plan.leftOut.length === 0) return '';
  const rows = plan.leftOut
    .toSorted((a, b) => b.overflowRisk - a.overflowRisk)
    .map((out) => [
      names.site(out.siteId),
      format.kg(out.expectedKgAtEnd),
      format.percent(out.overflowRisk),
      words.leftOut(out, names),
    ]);
  return textTable(
    [
      { head: 'Left out' },
      { head: 'by the end', align: 'right' },
      { head: 'overflow', align: 'right' },
      { head: 'why' },
    ],
    rows,
  );
}

function money(plan: Plan, currency: string): string {
  const rows = words
    .moneyParts(plan.money)
    .map(({ part, micros }) => [words.MONEY_WORDS[part].name, format.money(micros, currency)]);
  return textTable(
    [{ head: 'Cost by part' }, { head: 'amount', align: 'right' }],
    [...rows, ['total', format.money(plan.costMicros, currency)]],
  );
}
