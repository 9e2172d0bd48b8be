/** What holds at every stop. Guidance in short; local rules and the employer's own assessment come first. */
import { NBSP, number } from '../shared/format.ts';
import { ANY_HEIGHT_KG, WAIST_MEN_KG, WAIST_WOMEN_KG } from './cautions.ts';

/** The filter's values are whole: "7 kg", not "7.0 kg". */
const wholeKg = (massKg: number): string => `${number(massKg)}${NBSP}kg`;

type Props = { readonly phone: string; readonly tel: string | undefined };

export const GeneralCautions = ({ phone, tel }: Props) => (
  <aside class="run-always" aria-label="At every stop">
    <h3>At every stop</h3>
    <ul class="run-always-list">
      <li>
        <b>Sharps, needles, unknown liquids, canisters, anything you cannot name:</b> do not touch, do not
        press a sack down, refuse it and call{' '}
        {tel ? <a href={tel}>the workshop on {phone}</a> : 'the workshop'}. Hand it in as “contents looked
        unsafe”; no weight is needed.
      </li>
      <li>
        <b>Lifting:</b> up to {wholeKg(ANY_HEIGHT_KG)} a lift is inside the guideline filter at any height
        close to the body; at the waist it is {wholeKg(WAIST_WOMEN_KG)} for women and {wholeKg(WAIST_MEN_KG)}{' '}
        for men. A filter, not a limit; local rules and your employer’s assessment come first. Try the weight
        before you lift.
      </li>
      <li>
        <b>The van:</b> the plate decides, not this sheet. Spread the load, tie it down, keep the doors and
        the view free.
      </li>
      <li>
        <b>Hours:</b> take the break when it is due. If the shift’s end comes closer than the workshop, call.
      </li>
    </ul>
  </aside>
);
