/** What was said on this phone, as lines; what was not taken comes first, with its reason and what may be done. */
import type { SiteStopView } from '../../driver/run-view.ts';
import type { Fact } from './fact.ts';
import { saidAt } from './on-the-phone.ts';
import { useSheet, useTime } from './shown.ts';

/** "Harbour Stores: 34 kg, 9 bags". */
export const FactWords = ({ fact: { said } }: { readonly fact: Fact }) => {
  const { say, phone, state } = useSheet();
  const stops = phone.run.rounds.flatMap(({ stops }) => stops.filter((stop) => stop.kind === 'site'));
  const siteName = (siteId: string): string =>
    state.kept?.accepted.sites.find((site) => site.siteId === siteId)?.name ??
    stops.find((stop: SiteStopView) => stop.siteId === siteId)?.name ??
    '';
  switch (said.kind) {
    case 'weigh-in':
    case 'pickup':
      return (
        <>
          {siteName(said.siteId)}: {say.driver.outcome({ kind: 'weighed', ...said.amounts })}
        </>
      );
    case 'missed':
      return (
        <>
          {siteName(said.siteId)}: {say.driver.outcome({ ...said, kind: 'missed' })}
        </>
      );
    case 'mark':
      return <>{say.sheet.mark[said.mark]}</>;
    case 'load':
      return <>{say.sheet.load(said.netKg)}</>;
    case 'off-road':
      return (
        <>
          {say.sheet.offRoad}: {said.reason}
        </>
      );
  }
};

export const FactLine = ({ fact }: { readonly fact: Fact }) => {
  const { say } = useSheet();
  const time = useTime();
  return (
    <p class="sheet-fact">
      <FactWords fact={fact} /> · {time(saidAt(fact))} · {say.sheet.state[fact.state]}
    </p>
  );
};

export const Refused = () => {
  const { model, say, state } = useSheet();
  const driverId = state.kept?.accepted.driverId;
  const refused = state.facts.filter((fact) => fact.state === 'refused' && fact.driverId === driverId);
  if (refused.length === 0) return null;
  return (
    <section class="sheet-refused" role="alert">
      <h2>{say.sheet.notTaken}</h2>
      {refused.map((fact) => (
        <div class="sheet-refusal" key={fact.id}>
          <p>
            <b>
              <FactWords fact={fact} />
            </b>
          </p>
          <p>{say.sheet.refused[fact.refusal?.kind ?? ''] ?? say.sheet.refusedOther}</p>
          <p class="sheet-buttons">
            <Mend fact={fact} />
            <button type="button" onClick={() => void model.leaveAsItIs(fact)}>
              {say.sheet.leaveIt}
            </button>
          </p>
        </div>
      ))}
    </section>
  );
};

/** Another phone was quicker: mine as a correction of it. Otherwise the form again, where there is one. */
const Mend = ({ fact }: { readonly fact: Fact }) => {
  const { model, say, phone } = useSheet();
  const { said, refusal } = fact;
  const stopId = 'stopId' in said ? said.stopId : undefined;
  if (said.kind === 'weigh-in' && refusal?.weighInId !== undefined) {
    const { weighInId } = refusal;
    const correct = async () => {
      if (await model.say({ ...said, replacesId: weighInId })) await model.leaveAsItIs(fact);
    };
    return (
      <button type="button" onClick={() => void correct()}>
        {say.sheet.mine}
      </button>
    );
  }
  const isOnSheet = phone.run.rounds.some(({ stops }) => stops.some((stop) => stop.stopId === stopId));
  if (said.kind === 'weigh-in' && isOnSheet)
    return (
      <a class="button" href={`/driver/stops/${stopId}`}>
        {say.sheet.again}
      </a>
    );
  if (said.kind === 'load')
    return (
      <a class="button" href={`/driver/rounds/${said.roundId}/unload`}>
        {say.sheet.again}
      </a>
    );
  return null;
};
