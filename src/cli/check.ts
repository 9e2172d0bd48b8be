import { checkPlan } from '../core/planning/check.ts';
import { fileFaults, ledgerFaults } from '../store/integrity.ts';
import { getPlan, listPlans, publishedPlan } from '../store/plans.ts';
import { requireWorkshop } from '../store/workshop.ts';
import { problemOfPlan } from '../usecases/build-planning-problem.ts';
import type { Context } from '../usecases/context.ts';
import { hashOfInput } from '../usecases/plan-week.ts';
import { type Command, DATABASE, JSON_OUTPUT } from './command.ts';
import { say, withDatabase } from './workplace.ts';

type Finding = { readonly what: string; readonly isFault: boolean };

export const check: Command = {
  name: 'check',
  usage: '[--json]',
  summary:
    'Looks for faults: the database file, the stock ledger against the weigh-ins, and the plans, recomputed from raw data.',
  details: 'Exit code 0: no fault. 1: at least one, named.',
  options: [DATABASE, JSON_OUTPUT],
  maxWords: 0,
  run: (words) =>
    withDatabase(words, { mayCreate: false }, (context) => {
      const findings = [...checkFile(context), ...checkLedger(context), ...checkPlans(context)];
      const isFine = findings.every((finding) => !finding.isFault);
      if (words.isOn('json')) say(JSON.stringify({ fine: isFine, findings }, null, 2));
      else for (const { what, isFault } of findings) say(`${isFault ? 'FAULT  ' : 'fine   '}${what}`);
      return isFine ? 0 : 1;
    }),
};

const fine = (what: string): Finding => ({ what, isFault: false });
const fault = (what: string): Finding => ({ what, isFault: true });

function checkFile({ store }: Context): Finding[] {
  const faults = fileFaults(store);
  return faults.length === 0 ? [fine('The database file is whole.')] : faults.map(fault);
}

function checkLedger({ store }: Context): Finding[] {
  const faults = ledgerFaults(store);
  return faults.length === 0
    ? [fine('Every weighed kilogram is in the stock ledger, once.')]
    : faults
        .slice(0, 20)
        .map(({ weighInKey, weighedKg, bookedKg }) =>
          fault(`Weigh-in ${weighInKey}: ${weighedKg} kg weighed, ${bookedKg} kg booked into stock.`),
        );
}

/** A plan holds against the facts it was made on; on other facts it is merely out of date. */
function checkPlans({ store, now }: Context): Finding[] {
  requireWorkshop(store);
  const published = publishedPlan(store);
  const draft = listPlans(store, 'draft', 1)[0];
  const plans = [
    ...(published ? [{ name: 'published plan', stored: published }] : []),
    ...(draft ? [{ name: 'newest draft', stored: getPlan(store, draft.id)! }] : []),
  ];
  if (plans.length === 0) return [fine('There is no plan yet.')];
  return plans.map(({ name, stored }) => {
    const problem = problemOfPlan(store, now(), stored);
    const faults = checkPlan(problem, stored.plan);
    const isSame = hashOfInput(problem) === stored.inputHash;
    const what = `The ${name} from ${stored.firstDay}`;
    if (faults.length === 0) return fine(`${what} holds: times, loads, windows and money recomputed.`);
    return isSame
      ? fault(`${what} does not hold: ${JSON.stringify(faults.slice(0, 3))}`)
      : fine(
          `${what} was made on other facts than today's (something was weighed, booked or changed since).`,
        );
  });
}
