/** The number pad: a field that is on, its digits large, keys that a gloved thumb finds. */
import type { Kg } from '../../../core/quantity/units.ts';
import { addLift, type Key, liftsSum, numberOf, type Pad, type PadField, press } from './pad.ts';
import { useSheet } from './shown.ts';

const KEYS: readonly Key[] = ['1', '2', '3', '4', '5', '6', '7', '8', '9', '.', '0', 'erase'];

type Props = { readonly pad: Pad; readonly onPad: (pad: Pad) => void };

export const Keys = ({ pad, onPad }: Props) => {
  const { say } = useSheet();
  return (
    <div class="pad-keys">
      {KEYS.map((key) => (
        <button
          type="button"
          key={key}
          aria-label={key === 'erase' ? say.sheet.erase : undefined}
          onClick={() => onPad(press(pad, key))}
        >
          {key === 'erase' ? '⌫' : key === '.' ? decimalPoint(say.language) : key}
        </button>
      ))}
    </div>
  );
};

const decimalPoint = (language: string): string => (language === 'de' ? ',' : '.');

/** What is typed into a field; a press turns the keys to it. */
export const PadLine = ({ pad, onPad, field }: Props & { readonly field: PadField }) => {
  const { say } = useSheet();
  const text = pad.typed[field];
  const shown = text === '' ? '–' : text.replace('.', decimalPoint(say.language));
  const unit = field === 'bags' ? '' : 'kg';
  return (
    <button
      type="button"
      class={pad.field === field ? 'pad-line pad-line-on' : 'pad-line'}
      aria-pressed={pad.field === field ? 'true' : 'false'}
      onClick={() => onPad({ ...pad, field })}
    >
      <span class="pad-label">{say.sheet[field]}</span>
      <span class="pad-number" data-field={field}>
        {shown} {unit}
      </span>
    </button>
  );
};

/** "12 + 14 = 26 kg", and the net of gross and tare. */
export const Sums = ({ pad }: { readonly pad: Pad }) => {
  const { say } = useSheet();
  const { sheet, f } = say;
  const exact = (kg: Kg): string => `${f.number(kg, decimalsOf(kg))}\u00a0kg`;
  const field = pad.way === 'gross' ? 'gross' : 'net';
  const lifts = pad.lifts[field];
  const typed = numberOf(pad.typed[field]);
  const sum = liftsSum(pad, field);
  const tare = numberOf(pad.typed.tare) ?? 0;
  if (pad.way === 'bags' || sum === undefined) return null;
  return (
    <>
      {lifts.length > 0 && (
        <p class="pad-sum">
          {sheet.lifts([...lifts, ...(typed === undefined ? [] : [typed])].map(exact), exact(sum))}
        </p>
      )}
      {pad.way === 'gross' && <p class="pad-sum">{sheet.less(exact(sum), exact(tare), exact(sum - tare))}</p>}
    </>
  );
};

/** As many as were typed, two at most. */
const decimalsOf = (kg: Kg): 0 | 1 | 2 =>
  Number.isInteger(kg) ? 0 : Number.isInteger(Math.round(kg * 1000) / 100) ? 1 : 2;

export const LiftButton = ({ pad, onPad }: Props) => {
  const { say } = useSheet();
  return pad.field === 'net' || pad.field === 'gross' ? (
    <button type="button" class="pad-lift" onClick={() => onPad(addLift(pad))}>
      {say.sheet.anotherLift}
    </button>
  ) : null;
};
