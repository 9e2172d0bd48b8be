/** How the round goes, in the driver's own words: left, paused, going on, done. Works without a script. */
import type { RoundMark } from '../../core/vocabulary.ts';
import { time } from '../shared/format.ts';
import type { RoundView } from './run-view.ts';

const SAID: { readonly [mark in RoundMark]: string } = {
  started: 'Left at',
  paused: 'Paused at',
  resumed: 'Went on at',
  finished: 'Finished at',
};
const BUTTON: { readonly [mark in RoundMark]: string } = {
  started: 'I am leaving now',
  paused: 'Pause',
  resumed: 'Go on',
  finished: 'Finish the round',
};

type Props = { readonly round: RoundView; readonly zone: string; readonly factId: string };
export const RoundMarks = ({ round: { roundId, progress }, zone, factId }: Props) =>
  progress.last === undefined && progress.next.length === 0 ? null : (
    <div class="run-marks on-screen">
      {progress.last && (
        <p>
          {SAID[progress.last.mark]} <b>{time(progress.last.at, zone)}</b>
        </p>
      )}
      {progress.next.map((mark) => (
        <form method="post" action={`/driver/rounds/${roundId}/marks`}>
          <input type="hidden" name="factId" value={`${factId}-${mark}`} />
          <input type="hidden" name="mark" value={mark} />
          <button type="submit" class={mark === 'started' || mark === 'resumed' ? 'primary' : undefined}>
            {BUTTON[mark]}
          </button>
        </form>
      ))}
    </div>
  );
