/** The sheet's first sentences: does collection keep pace with production, and what needs a hand? */
import { dayShort, duration, kg, km, money, number, percent } from '../shared/format.ts';
import { cover, isShort } from './stock-words.ts';
import type { WeekSheetView } from './week-sheet-view.ts';
import { LOUD_RISK } from './week-strip.tsx';

export type Verdict = { readonly isGood: boolean; readonly text: string };

export const verdicts = (view: WeekSheetView): readonly Verdict[] => [
  productionVerdict(view),
  overflowVerdict(view),
  ...(view.plan ? [workVerdict(view)] : []),
];

function productionVerdict({ stock, grades, days }: WeekSheetView): Verdict {
  const short = grades.flatMap((line) => {
    const first = line.days.findIndex(isShort);
    return first < 0
      ? []
      : [{ name: line.name, day: days[first]!.day, kg: line.days.reduce((s, d) => s + d.shortKg, 0) }];
  });
  const soonest = short.sort((a, b) => a.day.localeCompare(b.day))[0];
  if (soonest) {
    const others =
      short.length === 1
        ? ''
        : `, and ${number(short.length - 1)} more ${short.length === 2 ? 'grade' : 'grades'} after it`;
    return {
      isGood: false,
      text: `Production runs short of ${soonest.name} on ${dayShort(soonest.day)} (about ${kg(soonest.kg)} to buy in)${others}.`,
    };
  }
  if (stock.days.every((day) => day.drawKg === 0))
    return {
      isGood: true,
      text: 'No production is planned in these days, so nothing is drawn from the store.',
    };
  const lowest = Math.min(...grades.flatMap((line) => line.days.map((day) => day.coverDays)));
  return { isGood: true, text: `Collection keeps pace: no grade falls below ${cover(lowest)} of cover.` };
}

function overflowVerdict({ strips }: WeekSheetView): Verdict {
  const loud = strips.filter((strip) => strip.overflowRisk >= LOUD_RISK);
  const named = loud
    .slice(0, 2)
    .map((strip) => `${strip.name} (${percent(strip.overflowRisk)})`)
    .join(' and ');
  if (loud.length === 0) {
    const most = strips[0];
    return {
      isGood: true,
      text: most
        ? `No container is likely to overflow; the closest is ${most.name} at ${percent(most.overflowRisk)}.`
        : 'No sites are registered.',
    };
  }
  const rest = loud.length > 2 ? ` and ${number(loud.length - 2)} more` : '';
  return { isGood: false, text: `${named}${rest} may overflow before we come.` };
}

function workVerdict({ rounds, plan, workshop }: WeekSheetView): Verdict {
  const stops = rounds.reduce(
    (sum, { round }) => sum + round.stops.filter((s) => s.kind === 'site').length,
    0,
  );
  const metres = rounds.reduce((sum, { round }) => sum + round.distanceM, 0);
  const seconds = rounds.reduce((sum, { round }) => sum + round.endAt - round.startAt, 0);
  const counted = `${number(rounds.length)} ${rounds.length === 1 ? 'round' : 'rounds'}, ${number(stops)} stops`;
  return {
    isGood: true,
    text: `${counted}, ${km(metres)}, ${duration(seconds)} of driving and loading. In the plan’s own money: ${money(plan!.costMicros, workshop.currency)}.`,
  };
}
