/** The van cannot go on: safety first, then one sentence to the workshop. */
import { useState } from 'hono/jsx/dom';
import type { RoundView } from '../../driver/run-view.ts';
import { telUri } from '../../shared/uris.ts';
import { Back } from './back.tsx';
import { saidAt } from './on-the-phone.ts';
import { useSheet, useTime } from './shown.ts';

export const OffRoadScreen = ({ round }: { readonly round: RoundView }) => {
  const { model, say, state, phone } = useSheet();
  const { sheet } = say;
  const [reason, setReason] = useState('');
  const time = useTime();
  const tel = telUri(phone.run.workshop.phone);
  const before = state.facts.find(
    ({ said, state: at }) => said.kind === 'off-road' && said.roundId === round.roundId && at !== 'set-aside',
  );
  const tell = () => void model.say({ kind: 'off-road', roundId: round.roundId, reason: reason.trim() });
  return (
    <>
      <Back />
      <h1 class="sheet-stop-name">{sheet.offRoadTitle}</h1>
      <p class="sheet-caution">{sheet.offRoadLead}</p>
      {tel && (
        <a class="button primary sheet-wide" href={tel}>
          {sheet.callWorkshop}
        </a>
      )}
      {before ? (
        <p role="status">
          <b>{sheet.offRoadSaid(time(saidAt(before)))}</b> · {sheet.state[before.state]}
        </p>
      ) : (
        <>
          <label class="pad-note">
            {sheet.offRoadWhat}
            <textarea
              rows={2}
              maxlength={500}
              value={reason}
              onInput={(event: Event) => setReason((event.target as HTMLTextAreaElement).value)}
            />
          </label>
          <button type="button" class="sheet-wide" onClick={tell}>
            {sheet.offRoadSay}
          </button>
        </>
      )}
    </>
  );
};
