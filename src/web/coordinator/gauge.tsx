/** How much of a van or a shift is used: a bar to the limit, with the cautious figure drawn lighter behind it. */
import { per } from './marks.tsx';

type GaugeProps = {
  readonly name: string;
  readonly value: number;
  /** What the workshop plans with, at or above `value`. */
  readonly cautious?: number;
  readonly limit: number;
  /** "412 of 900 kg". */
  readonly text: string;
};

/** The bar's right end is the limit plus an eighth, so that more than full can be seen. */
const BEYOND = 1.125;

export const Gauge = ({ name, value, cautious = value, limit, text }: GaugeProps) => {
  const share = (amount: number) => Math.min(100, (100 * amount) / (limit * BEYOND));
  return (
    <div class="gauge">
      <p>
        <span class="soft">{name}</span> <span class="nowrap">{text}</span>
      </p>
      <svg width="100%" height="9" aria-hidden="true" focusable="false">
        <rect class="gauge-groove" x="0" y="2" width={per(100 / BEYOND)} height="6" />
        <rect class="gauge-cautious" x="0" y="2" width={per(share(cautious))} height="6" />
        <rect
          class={value > limit ? 'gauge-value gauge-over' : 'gauge-value'}
          x="0"
          y="2"
          width={per(share(value))}
          height="6"
        />
        <line class="gauge-limit" x1={per(100 / BEYOND)} x2={per(100 / BEYOND)} y1="0" y2="9" />
      </svg>
    </div>
  );
};
