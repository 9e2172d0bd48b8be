/** The run sheet as the phone keeps it. */
import type { SentSheet } from '../../driver/sent-sheet.ts';

export type KeptRun = {
  /** The sheet that the driver goes by. */
  readonly accepted: SentSheet;
  /** A newer one whose plan differs, until the driver has taken it. */
  readonly offered?: SentSheet;
};
