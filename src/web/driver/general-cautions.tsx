/** What holds at every stop. Guidance in short; local rules and the employer's own assessment come first. */
import type { Say } from '../messages/say.ts';
import { telUri } from '../shared/uris.ts';
import { ANY_HEIGHT_KG, WAIST_MEN_KG, WAIST_WOMEN_KG } from './cautions.ts';

export const GeneralCautions = ({ say, phone }: { readonly say: Say; readonly phone: string }) => {
  const { always, callWorkshop } = say.sheet;
  const tel = telUri(phone);
  return (
    <aside class="run-always" aria-label={always.title}>
      <h3>{always.title}</h3>
      <ul class="run-always-list">
        <li>
          <b>{always.sharps}</b> {always.refuse}
          {tel && (
            <>
              {' '}
              <a class="run-call" href={tel}>
                {callWorkshop}: {phone}
              </a>
            </>
          )}
        </li>
        <li>
          <b>{always.lifting}</b> {always.filter(ANY_HEIGHT_KG, WAIST_WOMEN_KG, WAIST_MEN_KG)}
        </li>
        <li>
          <b>{always.van}</b> {always.plate}
        </li>
        <li>
          <b>{always.hours}</b> {always.breaks}
        </li>
      </ul>
    </aside>
  );
};
