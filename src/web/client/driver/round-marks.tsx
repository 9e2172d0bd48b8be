/** How the round goes, in one tap: left, pause, going on, done. */
import { useState } from 'hono/jsx/dom';
import type { RoundMark } from '../../../core/vocabulary.ts';
import type { RoundView } from '../../driver/run-view.ts';
import { useSheet, useTime } from './shown.ts';

export const RoundMarks = ({
  round,
  openStops,
}: {
  readonly round: RoundView;
  readonly openStops: number;
}) => {
  const { model, say } = useSheet();
  const [isAsked, setAsked] = useState(false);
  const time = useTime();
  const { last, next } = round.progress;
  const mark = (said: RoundMark) => {
    // Whoever finishes with stops open is asked once: their film would wait unsaid.
    if (said === 'finished' && openStops > 0 && !isAsked) return setAsked(true);
    setAsked(false);
    void model.say({ kind: 'mark', roundId: round.roundId, mark: said });
  };
  return (
    <div class="sheet-marks">
      {last && (
        <p>
          {say.sheet.marked[last.mark]} <b>{time(last.at)}</b>
        </p>
      )}
      {isAsked && <p class="sheet-warning">{say.sheet.stillOpen(openStops)}</p>}
      <p class="sheet-buttons">
        {next.map((said) => (
          <button type="button" key={said} onClick={() => mark(said)}>
            {said === 'finished' && isAsked ? say.sheet.yesFinish : say.sheet.mark[said]}
          </button>
        ))}
      </p>
    </div>
  );
};
