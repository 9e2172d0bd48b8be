/** Small drawings to guess an amount by, all to one scale: a person's height is the frame. Decoration beside words. */
import type { Child } from 'hono/jsx';
import type { Measure } from './measures.ts';

const Drawing = ({ children }: { readonly children?: Child }) => (
  <svg class="guess-picture" viewBox="0 0 72 60" aria-hidden="true" focusable="false">
    <line class="guess-ground" x1="2" x2="70" y1="56" y2="56" />
    {children}
  </svg>
);

const Sack = () => (
  <Drawing>
    <path class="guess-film" d="M24 55 C19 46 20 34 31 28 L41 28 C52 34 53 46 48 55 Z" />
    <path class="guess-line" d="M31 28 L27 20 M41 28 L45 20 M29 28 H43 M30 40 C33 37 34 44 38 41" />
  </Drawing>
);

const Cage = () => (
  <Drawing>
    <path class="guess-film" d="M20 50 V22 C28 16 32 22 38 17 C44 21 48 16 52 22 V50 Z" />
    <path class="guess-line" d="M18 6 V51 H54 V6 M30 14 V51 M42 14 V51 M18 14 H54 M18 26 H54 M18 38 H54" />
    <circle class="guess-line" cx="23" cy="53.5" r="2.5" />
    <circle class="guess-line" cx="49" cy="53.5" r="2.5" />
  </Drawing>
);

const Pallet = () => (
  <Drawing>
    <path class="guess-film" d="M12 49 V14 C20 8 28 13 36 9 C44 13 52 8 60 14 V49 Z" />
    <path
      class="guess-line"
      d="M12 26 H60 M12 38 H60 M28 12 V26 M44 11 V26 M20 26 V38 M36 26 V38 M52 26 V38"
    />
    <path class="guess-line" d="M8 49 H64 M8 55 H64 M11 49 V55 M36 49 V55 M61 49 V55" />
  </Drawing>
);

const Boot = () => (
  <Drawing>
    <path class="guess-film" d="M8 43 V31 C14 26 20 30 26 26 V43 Z" />
    <path
      class="guess-line"
      d="M6 45 V33 L8 26 L28 22 H46 L56 33 L67 36 V45 H60 M46 45 H26 M12 45 H6 M8 26 L4 8 M28 22 V45 M46 22 V33 M28 33 H56"
    />
    <circle class="guess-line" cx="19" cy="48" r="7" />
    <circle class="guess-line" cx="53" cy="48" r="7" />
  </Drawing>
);

const PICTURES: { readonly [measure in Measure]: () => Child } = {
  sacks: Sack,
  cages: Cage,
  pallets: Pallet,
  boots: Boot,
};
export const MeasurePicture = ({ measure }: { readonly measure: Measure }) => {
  const Picture = PICTURES[measure];
  return <Picture />;
};
