/** Will the film last: need against cover by day and grade, what is to be bought in, and what production could shift. */
import type { StockDay } from '../../core/planning/plan.ts';
import type { GradeOutlook, ProductionOutlook } from '../../usecases/production-outlook.ts';
import { SAFE_RISK } from '../../usecases/production-outlook.ts';
import { dayShort, kg, kgRange, money, number, percent } from '../shared/format.ts';
import { adviceWhat, adviceWhy, buyInSentence, safeFor } from '../shared/production-words.ts';
import { gradeName } from '../shared/words.ts';

type Props = { readonly outlook: ProductionOutlook; readonly currency: string };

export const Outlook = ({ outlook, currency }: Props) => (
  <>
    <h2 id="last">Will it last?</h2>
    <p>{buyInSentence(outlook, currency)}</p>
    {outlook.grades.length > 0 && <NeedTable outlook={outlook} currency={currency} />}
    <h2 id="shift">What production could shift</h2>
    <Advice outlook={outlook} currency={currency} />
  </>
);

/** A chance worth a word. */
const TELL_RISK = 0.01;
/** From here on it is loud, as on the week sheet. */
const LOUD_RISK = 0.1;

const NeedTable = ({ outlook: { grades, days }, currency }: Props) => (
  <>
    <section class="scroll" aria-label="Need against cover" tabindex={0}>
      <table class="need">
        <thead>
          <tr>
            <th scope="col">Grade</th>
            <th scope="col">Safe for</th>
            <th scope="col" class="number">
              To buy in
            </th>
            {days.map((day) => (
              <th scope="col" class="number">
                {dayShort(day)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {grades.map((grade) => (
            <GradeNeed grade={grade} days={days.length} currency={currency} />
          ))}
        </tbody>
      </table>
    </section>
    <p class="small soft">
      On each day: what is drawn, what is in the store at night (four chances out of five), and the chance of
      running short if it is 1&nbsp;% or more. Safe: the days that go by with at most {percent(SAFE_RISK)} of
      running short.
    </p>
  </>
);

const GradeNeed = ({
  grade,
  days,
  currency,
}: {
  readonly grade: GradeOutlook;
  readonly days: number;
  readonly currency: string;
}) => (
  <tr>
    <th scope="row">{gradeName(grade.grade)}</th>
    <td class={grade.safeDays < days ? 'loud' : undefined}>{safeFor(grade.safeDays, days)}</td>
    <td class="number">
      {grade.buyKg < 0.05 ? '–' : kg(grade.buyKg)}
      {grade.buyKg >= 0.05 && <small>{money(grade.buyMicros, currency)}</small>}
    </td>
    {grade.days.map((day) => (
      <DayNeed day={day} />
    ))}
  </tr>
);

const DayNeed = ({ day }: { readonly day: StockDay }) => (
  <td class="number">
    {day.drawKg < 0.05 ? '–' : kg(day.drawKg)}
    <small>{kgRange(day.lowKg, day.highKg)}</small>
    {day.shortageRisk >= TELL_RISK && (
      <small class={day.shortageRisk >= LOUD_RISK ? 'loud' : undefined}>
        {percent(day.shortageRisk)} short
      </small>
    )}
  </td>
);

const Advice = ({ outlook: { advice, mostFilmKg, days }, currency }: Props) =>
  advice.length === 0 ? (
    <p>
      Nothing: no run moved to another day, and no two exchanged, would save enough to ask for it. No day is
      asked for more than {kg(mostFilmKg)} of film in the press.
    </p>
  ) : (
    <>
      <ol class="advice">
        {advice.map((one) => (
          <li>
            <strong>{adviceWhat(one)}.</strong> It {adviceWhy(one, currency)}.
          </li>
        ))}
      </ol>
      <p class="small soft">
        Each on its own, with the rounds of this plan as they are; every unit is still pressed in these{' '}
        {number(days.length)} days, and no day takes more than {kg(mostFilmKg)} of film, a tenth above the
        fullest day so far. In brackets: four chances out of five. What is saved counts what bought film would
        still be worth at the end. Ask whoever runs the press; nothing is changed by itself. After a change,
        import production again and plan again.
      </p>
    </>
  );
