/** What the page of settings shows. */
import type { Objective, ObjectiveChange } from '../../usecases/change-objective.ts';
import type { WorkshopView } from './week-sheet-view.ts';

export type SettingsView = {
  readonly workshop: WorkshopView;
  readonly objective: Objective;
  /** Newest first. */
  readonly changes: readonly ObjectiveChange[];
};
