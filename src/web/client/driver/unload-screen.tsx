/** Unloading: one weight for a whole load. */
import { useState } from 'hono/jsx/dom';
import type { RoundView } from '../../driver/run-view.ts';
import { currentTrip } from '../../driver/van-load.ts';
import { Back } from './back.tsx';
import { amountsOf, EMPTY_PAD, type Pad } from './pad.ts';
import { Keys, LiftButton, PadLine, Sums } from './pad-view.tsx';
import { useSheet } from './shown.ts';

export const UnloadScreen = ({ round }: { readonly round: RoundView }) => {
  const { model, say, go } = useSheet();
  const { sheet } = say;
  const [pad, setPad] = useState<Pad>(EMPTY_PAD);
  const [isWrong, setWrong] = useState(false);
  const { amounts, problem } = amountsOf({ ...pad, way: 'net' }, 0);
  const counted = round.stops.filter(
    (stop) => stop.kind === 'site' && stop.outcome?.kind === 'weighed' && stop.outcome.method !== 'scale',
  );
  const handIn = async () => {
    const { netKg } = amounts;
    if (problem || netKg === undefined || netKg <= 0) return setWrong(true);
    if (await model.say({ kind: 'load', roundId: round.roundId, netKg })) go('/driver');
  };
  return (
    <>
      <Back />
      <h1 class="sheet-stop-name">{sheet.unloadTitle}</h1>
      <p>{sheet.unloadLead}</p>
      <ul class="sheet-changes">
        {currentTrip(round).map((stop) => (
          <li>
            {stop.name}: {stop.outcome ? say.driver.outcome(stop.outcome) : '–'}
          </li>
        ))}
      </ul>
      {counted.length === 0 && <p class="sheet-caution">{sheet.unloadNeedsCount}</p>}
      <div class="pad">
        <div class="pad-lines">
          <PadLine pad={pad} onPad={setPad} field="net" />
          <LiftButton pad={pad} onPad={setPad} />
        </div>
        <Sums pad={pad} />
        <Keys pad={pad} onPad={setPad} />
        {isWrong && (
          <p class="sheet-warning" role="alert">
            {sheet.problem.nothing}
          </p>
        )}
        <p class="pad-go">
          <button type="button" class="primary" onClick={() => void handIn()}>
            {sheet.loadHandIn}
          </button>
        </p>
      </div>
    </>
  );
};
