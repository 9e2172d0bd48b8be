/** What `GET /driver/run.json` answers: everything that a phone needs to go on without a network. */
import type { Grade } from '../../core/vocabulary.ts';
import type { Language } from '../messages/language.ts';
import type { RunView } from './run-view.ts';

export type SentSheet = {
  readonly driverId: string;
  readonly language: Language;
  readonly run: RunView;
  /** Grades that the workshop keeps apart, for the split by eye. */
  readonly grades: readonly { readonly grade: Grade; readonly name: string }[];
  /** Every site where film may be fetched, for a donor who waves. */
  readonly sites: readonly { readonly siteId: string; readonly name: string; readonly address: string }[];
};
