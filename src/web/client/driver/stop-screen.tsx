/** One stop: weigh in, correct, or say why it was not collected. */
import { useState } from 'hono/jsx/dom';
import { MISSED_REASONS, type MissedReason } from '../../../core/vocabulary.ts';
import type { RoundView, SiteStopView } from '../../driver/run-view.ts';
import { telUri } from '../../shared/uris.ts';
import { Back } from './back.tsx';
import { useSheet, useTime } from './shown.ts';
import { SkipFirst } from './skip-first.tsx';
import { WeighIn } from './weigh-in.tsx';

type Props = { readonly round: RoundView; readonly stop: SiteStopView };

export const StopScreen = ({ round, stop, isMissed }: Props & { readonly isMissed: boolean }) => {
  const { model, say, go } = useSheet();
  const { outcome } = stop;
  const time = useTime();
  const stands = outcome?.kind === 'weighed' ? outcome : undefined;
  const handIn = async (amounts: Parameters<Parameters<typeof WeighIn>[0]['onHandIn']>[0]) => {
    const { roundId } = round;
    const { stopId, siteId } = stop;
    const replaces = stands ? { replacesId: stands.weighInId } : {};
    const kept = await model.say({ kind: 'weigh-in', roundId, stopId, siteId, amounts, ...replaces });
    if (kept) go('/driver');
  };
  return (
    <>
      <Back />
      <h1 class="sheet-stop-name">{stop.name}</h1>
      <p>{say.driver.kgExpected(stop)}</p>
      {outcome && (
        <p class="sheet-stands">
          <b>{say.driver.outcome(outcome)}</b> · {time(outcome.at)}
        </p>
      )}
      {isMissed && !stands ? (
        <Missed round={round} stop={stop} />
      ) : (
        <WeighIn round={round} expected={stop} {...(stands ? { stands } : {})} onHandIn={handIn} />
      )}
      {!isMissed && !outcome && (
        <p>
          <a class="button sheet-wide" href={`/driver/stops/${stop.stopId}?missed`}>
            {say.sheet.notCollected}
          </a>
        </p>
      )}
    </>
  );
};

const Missed = ({ round, stop }: Props) => {
  const { model, say, go, phone } = useSheet();
  const [note, setNote] = useState('');
  const [said, setSaid] = useState<MissedReason | undefined>(undefined);
  const tel = telUri(phone.run.workshop.phone);
  const record = async (reason: MissedReason) => {
    const { roundId } = round;
    const { stopId, siteId } = stop;
    if (await model.say({ kind: 'missed', roundId, stopId, siteId, reason, note: note.trim() }))
      setSaid(reason);
  };
  if (said)
    return (
      <div class="sheet-after" role="status">
        <p>
          <b>{say.driver.outcome({ kind: 'missed', reason: said, note: note.trim() })}</b>
        </p>
        <p>
          {said === 'nothing-there'
            ? say.sheet.missedNothing
            : said === 'unsafe-contents'
              ? say.sheet.missedUnsafe
              : say.sheet.missedNext}
        </p>
        {said === 'unsafe-contents' && tel && (
          <a class="button primary sheet-wide" href={tel}>
            {say.sheet.callWorkshop}
          </a>
        )}
        {said === 'van-full' && <SkipFirst round={round} />}
        <button type="button" class="sheet-wide" onClick={() => go('/driver')}>
          {say.sheet.back}
        </button>
      </div>
    );
  return (
    <section>
      <h2>{say.sheet.notCollected}</h2>
      <p class="sheet-caution">{say.sheet.cautions}</p>
      <label class="pad-note">
        {say.sheet.note}
        <textarea
          rows={2}
          maxlength={1000}
          value={note}
          onInput={(event: Event) => setNote((event.target as HTMLTextAreaElement).value)}
        />
      </label>
      <fieldset class="sheet-reasons" aria-label={say.sheet.notCollected}>
        {MISSED_REASONS.map((reason) => (
          <button type="button" key={reason} onClick={() => void record(reason)}>
            {say.sheet.missed[reason]}
          </button>
        ))}
      </fieldset>
    </section>
  );
};
