/**
 * All that is uncertain about a site, precomputed for every pair of consecutive visits, so that the search only
 * looks up: expected cost of overflow O, collected mass M and its variance V between node a and node b, and the
 * value at the end. Making what is stochastic a look-up before the search is the idea of Markov, Bierlaire,
 * Cordeau, Maknoon & Varone (2017), "A unified framework for rich routing problems with stochastic demands"
 * (abstract); collection with "take all" makes mass depend on the pair alone.
 *
 *   O(a,b) = event x P(Y > c) + day x sum of P(Y_d > c) over days a < d <= b + kg x E(Y - c)+
 *   M(a,b) = E Y - E(Y - c)+        what is in the container; what lies beside it is lost. Where the largest van
 *                                   takes less than c, c is what it takes, and the rest waits for another day
 * Where donors call (`calls`, with reliability r from the share q of the container), the first line becomes
 *   (1 - r) x O(a,b) + r x premium x P(Y > q c)
 * from every emptying that no call has followed yet (methods note B.2, information before the next decision).
 *
 *   V(a,b) = min(Var Y, M (c - M))  bounded: a mass within [0, c] with mean M varies no more (Bhatia & Davis
 *                                   2000, "A better bound on the variance", Amer. Math. Monthly 107)
 *
 * Nodes: see visit-days.ts. 28 days x 60 sites take a fraction of a second, 7 days a few tens of milliseconds.
 */
import {
  accrualBetween,
  expectedOverflowKg,
  fillAt,
  type MassForecast,
  meanKg,
  overflowRisk,
  varianceKg2,
} from '../accumulation/forecast.ts';
import type { SiteModel } from '../accumulation/site-model.ts';
import type { Instant, Kg } from '../quantity/units.ts';
import type { PlanningProblem, PlanningSite } from './problem.ts';
import { quantum } from './quanta.ts';
import { leftAtEndMicros, loadCosts, longRunMicrosPerDay, type Overflow, visitCosts } from './terminal.ts';
import { visitInstants } from './visit-days.ts';

const DAY_S = 86_400;

export type SiteTable = {
  /** Nodes: horizon + 2. Entry (a, b) lies at `a * nodes + b`, for a < b. */
  readonly nodes: number;
  /** O(a, b), whole micros. */
  readonly overflowMicros: Float64Array;
  /** What lies beside the container then, expected; of a donor who calls only the share that does not. */
  readonly overflowKg: Float64Array;
  /** M(a, b) and V(a, b), in quanta. */
  readonly massKg: Float64Array;
  readonly varianceKg2: Float64Array;
  /** More can wait than any van takes: then the site may fill a van on a trip of its own, and the rest stays. */
  readonly fillsVan: boolean;
  /** P(mass > capacity at b | emptied at a). */
  readonly risk: Float64Array;
  /** W(a) - O(a, end) and the way home of M(a, end), whole micros, for each last node a. */
  readonly leftAtEndMicros: Float64Array;
};

export function buildTables(problem: PlanningProblem): readonly SiteTable[] {
  const instants = visitInstants(problem);
  const visitMicros = visitCosts(problem);
  const loadMicros = loadCosts(problem);
  return problem.sites.map((site, i) => {
    const mostKg = vanMostKg(problem, site.model.litresPerKg);
    const kiloMicros = mostKg > 0 ? loadMicros[i]! / mostKg : 0;
    return siteTable(
      site,
      freshModel(site.model),
      mostKg,
      instants,
      visitMicros[i]!,
      kiloMicros,
      problem.prices,
    );
  });
}

/** What the largest van takes of film as bulky as this. */
export const vanMostKg = ({ shifts }: PlanningProblem, litresPerKg: number): Kg =>
  shifts.reduce<number>((most, { payloadKg, loadSpaceL }) => {
    return Math.max(most, Math.min(payloadKg, loadSpaceL / litresPerKg));
  }, 0);

/** The forecast module remembers sums per exposure object; a copy makes our questions independent of others'. */
export function freshModel(model: SiteModel): SiteModel {
  return { ...model, exposure: { ...model.exposure } };
}

/** The mass waiting at `at` if the site was last emptied at node `a` (0 = not since now). */
export function massForecast(
  model: SiteModel,
  instants: readonly Instant[],
  a: number,
  at: Instant,
): MassForecast {
  return a === 0 ? fillAt(model, at) : accrualBetween(model, instants[a]!, at);
}

/** Whether the donor has called since the last emptying: then nobody waits for a call any more. */
export const hasCalled = ({ atLeast, emptiedAt }: SiteModel): boolean =>
  atLeast !== undefined && atLeast.at >= emptiedAt;

function siteTable(
  { calls, promises, besideKg = 0 }: PlanningSite,
  model: SiteModel,
  mostKg: Kg,
  instants: readonly Instant[],
  visitMicros: number,
  kiloMicros: number,
  prices: PlanningProblem['prices'],
): SiteTable {
  const nodes = instants.length;
  const end = nodes - 1;
  const endAt = instants[end]!;
  const capacityKg = model.capacityKg;
  const heldKg = capacityKg + besideKg;
  // A van that is full leaves the rest where it is. A promise is only kept by taking all.
  const fillsVan = mostKg > 0 && heldKg > mostKg && promises.length === 0;
  const takenKg = fillsVan ? mostKg : heldKg;
  const table: SiteTable = {
    nodes,
    overflowMicros: new Float64Array(nodes * nodes),
    overflowKg: new Float64Array(nodes * nodes),
    massKg: new Float64Array(nodes * nodes),
    varianceKg2: new Float64Array(nodes * nodes),
    fillsVan,
    risk: new Float64Array(nodes * nodes),
    leftAtEndMicros: new Float64Array(nodes),
  };
  // Of one who calls, only the share that does not is left to the fill.
  const overflowOf =
    (isAwaited: boolean) =>
    (f: MassForecast): Overflow => {
      const risk = overflowRisk(f, capacityKg);
      const excessKg = expectedOverflowKg(f, heldKg);
      if (!calls || !isAwaited) return { risk, excessKg, calledMicros: 0 };
      const left = 1 - calls.reliability;
      const called = calls.reliability * calls.premiumMicros;
      return {
        risk: left * risk,
        excessKg: left * excessKg,
        calledMicros: called === 0 ? 0 : called * overflowRisk(f, calls.fromShare * capacityKg),
      };
    };
  const overflow = overflowOf(true);
  // Ask first over the longest span, so that the forecast's running sums are laid once.
  fillAt(model, endAt);
  const perDay = longRunMicrosPerDay(visitMicros, prices, (days) =>
    overflow(accrualBetween(model, endAt, endAt + days * DAY_S)),
  );

  for (let a = 0; a < end; a++) {
    const overflow = overflowOf(a > 0 || !hasCalled(model));
    let riskDays = 0;
    let atEnd: Overflow = { risk: 0, excessKg: 0, calledMicros: 0 };
    let massAtEnd = 0;
    for (let b = a + 1; b <= end; b++) {
      const f = massForecast(model, instants, a, instants[b]!);
      const now = overflow(f);
      if (b < end) riskDays += now.risk;
      else atEnd = now;
      const entry = a * nodes + b;
      table.risk[entry] = overflowRisk(f, capacityKg);
      const mass = Math.max(0, meanKg(f) - expectedOverflowKg(f, takenKg));
      if (b === end) massAtEnd = mass;
      table.massKg[entry] = quantum(mass);
      table.varianceKg2[entry] = quantum(Math.max(0, Math.min(varianceKg2(f), mass * (takenKg - mass))));
      table.overflowKg[entry] = now.excessKg;
      table.overflowMicros[entry] = Math.round(
        prices.overflowMicros * now.risk +
          prices.overflowMicrosPerDay * riskDays +
          prices.overflowMicrosPerKg * now.excessKg +
          (now.calledMicros ?? 0),
      );
    }
    table.leftAtEndMicros[a] = Math.round(
      leftAtEndMicros(visitMicros, perDay, prices, atEnd, (days) =>
        overflow(massForecast(model, instants, a, endAt + days * DAY_S)),
      ) +
        kiloMicros * massAtEnd,
    );
  }
  return table;
}
