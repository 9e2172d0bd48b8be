/**
 * What became of the film, by month. Diverted is what was accepted, not what was collected (facts.md G1);
 * kilograms only, because no carbon figure for film is safe to show unasked (G2).
 */
import { dayYear, kg, percent } from '../shared/format.ts';
import type { DonorMonth } from './donor-view.ts';

const sum = (months: readonly DonorMonth[], of: (month: DonorMonth) => number): number =>
  months.reduce((total, month) => total + of(month), 0);

const about = ({ estimatedKg }: DonorMonth, massKg: number): string =>
  estimatedKg > 0 ? `about ${kg(massKg)}` : kg(massKg);

/** "November 2026", from the day's long form. */
const monthName = (month: string): string => dayYear(`${month}-01`).replace(/^\S+\s/, '');

export const MonthTable = ({
  months,
  nowMonth,
}: {
  readonly months: readonly DonorMonth[];
  readonly nowMonth: string;
}) => {
  const collectedKg = sum(months, (m) => m.collectedKg);
  const acceptedKg = sum(months, (m) => m.acceptedKg);
  if (collectedKg === 0) return null;
  const isPartGuessed = months.some((m) => m.estimatedKg > 0);
  const mostKg = Math.max(...months.map((m) => m.collectedKg));
  return (
    <div>
      <h3>What your film became</h3>
      <p>
        <b>
          {isPartGuessed && 'About '}
          {kg(acceptedKg)}
        </b>{' '}
        of film was good enough to press in these {months.length} months, {percent(acceptedKg / collectedKg)}{' '}
        of what we took.
      </p>
      <section class="scroll" aria-label="Film by month" tabindex={0}>
        <table class="donor-months">
          <caption>
            Accepted is what was clean enough to press; the rest had to be thrown out.
            {isPartGuessed && ' “About”: bags were counted there, not weighed.'}
          </caption>
          <thead>
            <tr>
              <th scope="col">Month</th>
              <th scope="col" class="number">
                Visits
              </th>
              <th scope="col" class="number">
                Taken
              </th>
              <th scope="col" class="number">
                Accepted
              </th>
              <th scope="col" class="number">
                Share
              </th>
              <th scope="col" class="donor-bar-head">
                <span class="unseen">Picture</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {[...months].reverse().map((m) => (
              <tr>
                <th scope="row">
                  {monthName(m.month)}
                  {m.month === nowMonth && <span class="soft"> so far</span>}
                </th>
                <td class="number">{m.pickups}</td>
                <td class="number">{about(m, m.collectedKg)}</td>
                <td class="number">{about(m, m.acceptedKg)}</td>
                <td class="number">{m.collectedKg === 0 ? '–' : percent(m.acceptedKg / m.collectedKg)}</td>
                <td class="donor-bar">
                  <Bar acceptedKg={m.acceptedKg} collectedKg={m.collectedKg} mostKg={mostKg} />
                </td>
              </tr>
            ))}
          </tbody>
          <tfoot>
            <tr>
              <th scope="row">Together</th>
              <td class="number">{sum(months, (m) => m.pickups)}</td>
              <td class="number">{kg(collectedKg)}</td>
              <td class="number">{kg(acceptedKg)}</td>
              <td class="number">{percent(acceptedKg / collectedKg)}</td>
              <td />
            </tr>
          </tfoot>
        </table>
      </section>
    </div>
  );
};

const Bar = ({
  acceptedKg,
  collectedKg,
  mostKg,
}: {
  readonly acceptedKg: number;
  readonly collectedKg: number;
  readonly mostKg: number;
}) => (
  <svg viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true" focusable="false">
    <rect class="donor-bar-taken" x="0" y="1" width={((100 * collectedKg) / mostKg).toFixed(1)} height="8" />
    <rect class="donor-bar-kept" x="0" y="1" width={((100 * acceptedKg) / mostKg).toFixed(1)} height="8" />
  </svg>
);
