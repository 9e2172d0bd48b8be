/** What no round could have helped: production wants more of a grade than has come to all sites together. */
import type { Kg } from '../quantity/units.ts';
import type { World } from './world.ts';
import type { Waiting } from './year.ts';

/**
 * Film that must be bought from a day on, even if all that waits then is fetched at once and all that comes later on the
 * day it comes, with no limit to vans and hours and nothing lost. No policy that starts from there buys less.
 */
export function unavoidableKg(
  world: World,
  fromDay: number,
  waiting: readonly Waiting[],
  stockKg: readonly Kg[],
): Kg {
  const { sites, drawKg, days, prices } = world;
  const usable = 1 - prices.contaminationShare;
  const stock = [...stockKg];
  let boughtKg = 0;
  const fetch = (site: number, kg: Kg): void => {
    for (const [g, share] of sites[site]!.shares.entries()) stock[g]! += usable * share * kg;
  };
  waiting.forEach(({ waitingKg, besideKg }, i) => {
    fetch(i, waitingKg + besideKg);
  });
  for (let day = fromDay; day < days; day++) {
    sites.forEach(({ massByDayKg, events }, i) => {
      fetch(i, massByDayKg[day]!);
      for (const { from, until, kgByDay } of events)
        if (day >= from && day <= until) fetch(i, kgByDay[day - from]!);
    });
    drawKg[day]!.forEach((kg, g) => {
      const missingKg = kg - stock[g]!;
      stock[g] = Math.max(0, -missingKg);
      if (missingKg > 1e-9) boughtKg += missingKg;
    });
  }
  return boughtKg;
}
