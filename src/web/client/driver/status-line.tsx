/** Always on top: what is handed in, what waits, and what is wrong with this phone. */

import type { Trouble } from './sheet-model.ts';
import { useSheet } from './shown.ts';

export const StatusLine = () => {
  const { model, state, say, zone, phone } = useSheet();
  const { sheet } = say;
  const { waiting, handedIn, refused, others } = model.counts();
  const isQuiet = waiting === 0 && refused === 0;
  return (
    <div class="sheet-status" data-waiting={waiting} data-handed-in={handedIn} data-refused={refused}>
      <p role="status" class={isQuiet ? 'sheet-status-line' : 'sheet-status-line sheet-status-waits'}>
        {waiting > 0 && (
          <b>
            {state.isHandingIn && state.signal === 'there' ? sheet.sending(waiting) : sheet.waiting(waiting)}
          </b>
        )}
        {refused > 0 && <b class="sheet-status-bad">{sheet.refusedCount(refused)}</b>}
        <span>{handedIn > 0 || waiting > 0 ? sheet.handedIn(handedIn) : sheet.nothingWaits}</span>
        <span class="soft">{sheet.sheetOf(phone.run.nowAt, zone)}</span>
      </p>
      {waiting > 0 && (
        <button type="button" onClick={() => void model.handIn()}>
          {sheet.tryNow}
        </button>
      )}
      {others > 0 && <p class="sheet-warning">{sheet.othersWait(others)}</p>}
      {state.troubles
        .filter(({ kind }) => kind !== 'not-persistent')
        .map((trouble) => (
          <p class="sheet-warning" role="alert">
            <TroubleWords trouble={trouble} />
          </p>
        ))}
    </div>
  );
};

const TroubleWords = ({ trouble }: { readonly trouble: Trouble }) => {
  const { sheet } = useSheet().say;
  if (trouble.kind === 'full') return <b>{sheet.storageFull}</b>;
  if (trouble.kind === 'short') return <>{sheet.storageShort(trouble.freeMb)}</>;
  return trouble.kind === 'lost' ? <b>{sheet.storageLost(trouble.waited)}</b> : null;
};
