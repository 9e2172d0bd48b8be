/** A donor waves: a pickup at a site that the round does not call at. */
import { useState } from 'hono/jsx/dom';
import type { RoundView } from '../../driver/run-view.ts';
import type { SentSheet } from '../../driver/sent-sheet.ts';
import type { Amounts } from '../../shared/weigh-in-fields.ts';
import { Back } from './back.tsx';
import { useSheet } from './shown.ts';
import { WeighIn } from './weigh-in.tsx';

/** As many as a thumb scrolls through. */
const SHOWN = 12;

export const ExtraScreen = ({ round }: { readonly round: RoundView }) => {
  const { model, say, state, go } = useSheet();
  const { sheet } = say;
  const [text, setText] = useState('');
  const [site, setSite] = useState<SentSheet['sites'][number] | undefined>(undefined);
  const onRound = new Set(round.stops.flatMap((stop) => (stop.kind === 'site' ? [stop.siteId] : [])));
  const wanted = text.trim().toLowerCase();
  const sites = (state.kept?.accepted.sites ?? []).filter(
    ({ siteId, name, address }) =>
      !onRound.has(siteId) && `${name} ${address}`.toLowerCase().includes(wanted),
  );
  if (site) {
    const handIn = async (amounts: Amounts) => {
      const { siteId } = site;
      if (await model.say({ kind: 'pickup', roundId: round.roundId, siteId, amounts })) go('/driver');
    };
    return (
      <>
        <Back />
        <h1 class="sheet-stop-name">{site.name}</h1>
        <p class="sheet-caution">{sheet.cautions}</p>
        <WeighIn round={round} onHandIn={handIn} />
      </>
    );
  }
  return (
    <>
      <Back />
      <h1 class="sheet-stop-name">{sheet.extraTitle}</h1>
      <p>{sheet.extraLead}</p>
      <label class="pad-note">
        {sheet.extraSearch}
        <input
          type="search"
          autocomplete="off"
          value={text}
          onInput={(event: Event) => setText((event.target as HTMLInputElement).value)}
        />
      </label>
      <div class="sheet-reasons">
        {sites.slice(0, SHOWN).map((one) => (
          <button type="button" key={one.siteId} onClick={() => setSite(one)}>
            <b>{one.name}</b>
            <br />
            {one.address}
          </button>
        ))}
      </div>
      <p class="sheet-caution">{sheet.extraUnknown}</p>
    </>
  );
};
