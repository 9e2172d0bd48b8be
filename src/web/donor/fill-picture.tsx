/** The container as a picture: film up to the middle of what we think, a lighter band where it may stand. */
import type { Say } from '../messages/say.ts';
import type { DonorFill } from './donor-view.ts';

const WIDTH = 120;
const HEIGHT = 160;
const TOP = 22;
const BASE = HEIGHT - 6;

export const FillPicture = ({ say: { donor, f }, fill }: { readonly say: Say; readonly fill: DonorFill }) => {
  const { capacityKg, medianKg, lowKg, highKg } = fill;
  // A quarter of the height above the brim is kept for what may stick out of it.
  const y = (massKg: number) => BASE - (Math.min(massKg / capacityKg, 1.12) * (BASE - TOP)) / 1;
  const middle = y(medianKg);
  return (
    <svg
      class="donor-fill"
      viewBox={`0 0 ${WIDTH + 48} ${HEIGHT}`}
      role="img"
      aria-label={donor.full.picture(medianKg / capacityKg, lowKg / capacityKg, highKg / capacityKg)}
    >
      <rect
        class="donor-fill-film"
        x="8"
        y={middle.toFixed(1)}
        width={WIDTH - 16}
        height={(BASE - middle).toFixed(1)}
      />
      <rect
        class="donor-fill-band"
        x="8"
        y={y(highKg).toFixed(1)}
        width={WIDTH - 16}
        height={Math.max(1, y(lowKg) - y(highKg)).toFixed(1)}
      />
      <line class="donor-fill-middle" x1="8" x2={WIDTH - 8} y1={middle.toFixed(1)} y2={middle.toFixed(1)} />
      <path class="donor-fill-wall" d={`M6 ${TOP - 8} V${BASE + 2} H${WIDTH - 6} V${TOP - 8}`} />
      <line class="donor-fill-brim" x1="0" x2={WIDTH} y1={TOP} y2={TOP} />
      <text class="donor-fill-word" x={WIDTH + 6} y={TOP + 5}>
        {donor.full.brim}
      </text>
      <text class="donor-fill-word" x={WIDTH + 6} y={Math.max(middle + 5, TOP + 24).toFixed(1)}>
        {f.number((100 * medianKg) / capacityKg)} %
      </text>
    </svg>
  );
};
