/** Beneath what is still at work: that the page looks again by itself, and how to make it stand still. */
import type { Seconds } from '../../core/quantity/units.ts';

export const LookAgain = ({
  path,
  everyS,
}: {
  readonly path: string;
  /** Nothing: only when asked. */
  readonly everyS: Seconds | undefined;
}) => (
  <span class="small soft">
    {everyS === undefined ? (
      <a href={`${path}?refresh=no`}>Look again</a>
    ) : (
      <>
        This page looks again every {everyS} s. <a href={`${path}?refresh=no`}>Stop looking by itself</a>
      </>
    )}
  </span>
);
