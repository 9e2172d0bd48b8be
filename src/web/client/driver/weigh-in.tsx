/** A weigh-in by the number pad: a plain one is digits and one press. What looks odd is asked once, never refused. */
import { useState } from 'hono/jsx/dom';
import { REJECT_REASONS } from '../../../core/vocabulary.ts';
import { WAIST_MEN_KG, WAIST_WOMEN_KG } from '../../driver/cautions.ts';
import { type Question, questionsOf } from '../../driver/plausible.ts';
import type { RoundView } from '../../driver/run-view.ts';
import { loadAlong } from '../../driver/van-load.ts';
import type { Amounts } from '../../shared/weigh-in-fields.ts';
import { amountsOf, EMPTY_PAD, numberOf, type Pad, padOf, type Way } from './pad.ts';
import { Keys, LiftButton, PadLine, Sums } from './pad-view.tsx';
import { useSheet } from './shown.ts';

const WAYS: readonly Way[] = ['net', 'gross', 'bags'];

/** What is known of the place before anything was weighed. */
export type Expected = {
  readonly lowKg: number;
  readonly highKg: number;
  readonly bagKg: number;
  readonly litresPerKg: number;
};

type Props = {
  readonly round: RoundView;
  /** Nothing where nobody expected anything: then nothing is odd either. */
  readonly expected?: Expected;
  readonly stands?: Amounts;
  readonly onHandIn: (amounts: Amounts) => Promise<unknown>;
};

export const WeighIn = ({ round, expected, stands, onHandIn }: Props) => {
  const { say, state } = useSheet();
  const { sheet } = say;
  const [pad, setPad] = useState<Pad>(stands ? padOf(stands) : EMPTY_PAD);
  const [asked, setAsked] = useState<readonly Question[]>([]);
  const [isWrong, setWrong] = useState(false);
  const [isBusy, setBusy] = useState(false);
  const { amounts, problem } = amountsOf(pad, expected?.bagKg ?? 0);
  const change = (next: Pad) => {
    setPad(next);
    setAsked([]);
    setWrong(false);
  };
  const handIn = async (isSure: boolean) => {
    if (isBusy) return;
    if (problem) return setWrong(true);
    const questions = expected ? questionsOf(amounts, expected, round.payloadKg) : [];
    if (questions.length > 0 && !isSure) return setAsked(questions);
    setBusy(true);
    await onHandIn(amounts);
    setBusy(false);
  };
  return (
    <div class="pad">
      {stands && <p>{sheet.correctionKept}</p>}
      <fieldset class="pad-ways" aria-label={sheet.weighIn}>
        {WAYS.map((way) => (
          <button
            type="button"
            key={way}
            aria-pressed={pad.way === way ? 'true' : 'false'}
            onClick={() => change({ ...pad, way, field: way })}
          >
            {sheet.way[way]}
          </button>
        ))}
      </fieldset>
      <div class="pad-lines">
        {pad.way === 'net' && <PadLine pad={pad} onPad={change} field="net" />}
        {pad.way === 'gross' && <PadLine pad={pad} onPad={change} field="gross" />}
        {pad.way === 'gross' && <PadLine pad={pad} onPad={change} field="tare" />}
        <PadLine pad={pad} onPad={change} field="bags" />
        <LiftButton pad={pad} onPad={change} />
      </div>
      <Sums pad={pad} />
      {asked.length > 0 ? (
        <div class="pad-asked" role="alert">
          {asked.map((question) => (
            <p>
              <b>{say.driver.question(question)}</b>
            </p>
          ))}
          <p class="sheet-buttons">
            <button type="button" class="primary" onClick={() => void handIn(true)}>
              {sheet.yesRight}
            </button>
            <button type="button" onClick={() => setAsked([])}>
              {sheet.mend}
            </button>
          </p>
        </div>
      ) : (
        <Keys pad={pad} onPad={change} />
      )}
      {isWrong && problem && (
        <p class="sheet-warning" role="alert">
          {sheet.problem[problem]}
        </p>
      )}
      <LoadCautions round={round} amounts={amounts} expected={expected} isCorrection={!!stands} />
      <p class="pad-go">
        <button
          type="button"
          class="pad-full"
          aria-pressed={pad.foundFull ? 'true' : 'false'}
          onClick={() => change({ ...pad, foundFull: !pad.foundFull })}
        >
          {sheet.foundFull}
        </button>
        {asked.length === 0 && (
          <button type="button" class="primary" onClick={() => void handIn(false)}>
            {stands ? sheet.handInCorrection : sheet.handIn}
          </button>
        )}
      </p>
      <HeavyLift pad={pad} />
      <ThrownOut pad={pad} onPad={change} />
      <Grades pad={pad} onPad={change} grades={state.kept?.accepted.grades ?? []} />
      <label class="pad-note">
        {sheet.note}
        <textarea
          rows={2}
          maxlength={1000}
          value={pad.note}
          onInput={(event: Event) => change({ ...pad, note: (event.target as HTMLTextAreaElement).value })}
        />
      </label>
    </div>
  );
};

type Part = { readonly pad: Pad; readonly onPad: (pad: Pad) => void };

const ThrownOut = ({ pad, onPad }: Part) => {
  const { sheet } = useSheet().say;
  return (
    <section class="pad-part">
      <PadLine pad={pad} onPad={onPad} field="thrownOut" />
      {(pad.field === 'thrownOut' || pad.typed.thrownOut !== '' || pad.reason !== undefined) && (
        <fieldset class="pad-chips" aria-label={sheet.why}>
          {REJECT_REASONS.map((reason) => (
            <button
              type="button"
              key={reason}
              aria-pressed={pad.reason === reason ? 'true' : 'false'}
              onClick={() => onPad({ ...pad, reason: pad.reason === reason ? undefined : reason })}
            >
              {sheet.reject[reason]}
            </button>
          ))}
        </fieldset>
      )}
    </section>
  );
};

const Grades = ({
  pad,
  onPad,
  grades,
}: Part & { readonly grades: readonly { readonly grade: Pad['grades'][number] }[] }) => {
  const { words, sheet } = useSheet().say;
  if (grades.length === 0) return null;
  const toggled = (grade: Pad['grades'][number]) =>
    pad.grades.includes(grade) ? pad.grades.filter((one) => one !== grade) : [...pad.grades, grade];
  return (
    <section class="pad-part">
      <h2>{sheet.grades}</h2>
      <fieldset class="pad-chips" aria-label={sheet.grades}>
        {grades.map(({ grade }) => (
          <button
            type="button"
            key={grade}
            aria-pressed={pad.grades.includes(grade) ? 'true' : 'false'}
            onClick={() => onPad({ ...pad, grades: toggled(grade) })}
          >
            {words.gradeName(grade)}
          </button>
        ))}
      </fieldset>
      <p>{sheet.gradesShared}</p>
    </section>
  );
};

/** Where lifts are added up, each was lifted by itself: said of one that is much for one person. */
const HeavyLift = ({ pad }: { readonly pad: Pad }) => {
  const { sheet } = useSheet().say;
  const kg = pad.way === 'net' ? numberOf(pad.typed.net) : undefined;
  return kg === undefined || pad.lifts.net.length === 0 || kg <= WAIST_WOMEN_KG ? null : (
    <p class="sheet-caution">{sheet.heavyLift(kg, WAIST_WOMEN_KG, WAIST_MEN_KG)}</p>
  );
};

/** Said before it is loaded: the payload first, then the space. */
const LoadCautions = ({
  round,
  amounts,
  expected,
  isCorrection,
}: {
  readonly round: RoundView;
  readonly amounts: Amounts;
  readonly expected: Expected | undefined;
  readonly isCorrection: boolean;
}) => {
  const { sheet } = useSheet().say;
  const now = loadAlong(round).now;
  const takenKg = amounts.netKg ?? (amounts.bags ?? 0) * (expected?.bagKg ?? 0);
  const kg = now.kg + takenKg;
  const litres = now.litres + takenKg * (expected?.litresPerKg ?? 0);
  return (
    <>
      {!isCorrection && takenKg > 0 && kg > round.payloadKg && (
        <p class="sheet-warning" role="alert">
          {sheet.wouldOverload(kg, round.payloadKg)}
        </p>
      )}
      {!isCorrection && takenKg > 0 && kg <= round.payloadKg && litres > round.loadSpaceL && (
        <p class="sheet-warning" role="alert">
          {sheet.wouldOverfill(litres, round.loadSpaceL)}
        </p>
      )}
    </>
  );
};
