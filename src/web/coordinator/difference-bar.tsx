/** A difference as a bar from a middle line: dearer to the right, cheaper to the left. The figure stands beside it. */
import { per } from './marks.tsx';

/** @param share of the largest difference, from -1 to 1 */
export const DifferenceBar = ({ share }: { readonly share: number }) => (
  <svg width="100%" height="14" aria-hidden="true" focusable="false">
    {Math.abs(share) > 0.004 && (
      <rect
        class={share > 0 ? 'bar-dearer' : 'bar-cheaper'}
        x={per(share > 0 ? 50 : 50 + 50 * share)}
        width={per(50 * Math.abs(share))}
        y="3"
        height="8"
      />
    )}
    <line class="bar-middle" x1="50%" x2="50%" y1="0" y2="14" />
  </svg>
);
