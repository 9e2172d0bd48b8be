/** A plan that changed while the driver was away from the network: said, and taken only by a press. */

import { type Change, changesBetween } from './changes.ts';
import { useSheet, useTime } from './shown.ts';

export const ChangeNotice = () => {
  const { model, state, say } = useSheet();
  const { accepted, offered } = state.kept ?? {};
  if (!accepted || !offered) return null;
  const changes = changesBetween(accepted, offered);
  const days = [...new Set(changes.map(({ day }) => day))];
  return (
    <section class="sheet-changed" role="alert">
      <h2>{say.sheet.changed}</h2>
      {days.map((day) => (
        <div>
          <p>
            <b>{day === accepted.run.todayDay ? say.sheet.today : say.f.dayLong(day)}</b>
          </p>
          <ul class="sheet-changes">
            {changes
              .filter((change) => change.day === day)
              .map((change) => (
                <li>
                  <ChangeWords change={change} />
                </li>
              ))}
          </ul>
        </div>
      ))}
      <p>{say.sheet.changedKept}</p>
      <button class="primary sheet-wide" type="button" onClick={() => void model.takeOffered()}>
        {say.sheet.takeNew}
      </button>
    </section>
  );
};

const ChangeWords = ({ change }: { readonly change: Change }) => {
  const { change: words } = useSheet().say.sheet;
  const time = useTime();
  switch (change.kind) {
    case 'stop-added':
    case 'stop-gone':
      return <>{words[change.kind](change.name)}</>;
    case 'stop-moved':
      return <>{words['stop-moved'](change.name, time(change.fromAt), time(change.toAt))}</>;
    case 'other-van':
      return <>{words['other-van'](change.vanName)}</>;
    default:
      return <>{words[change.kind]}</>;
  }
};
