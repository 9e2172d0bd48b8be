/** What the page of production and stock shows. */
import type { Instant, Kg, LocalDay } from '../../core/quantity/units.ts';
import type { Grade, StockKind } from '../../core/vocabulary.ts';
import type { ProductionOutlook } from '../../usecases/production-outlook.ts';
import type { DayColumn } from './day-scale.ts';
import type { StockLine, WorkshopView } from './week-sheet-view.ts';

export type ProductionView = {
  readonly workshop: WorkshopView;
  readonly nowAt: Instant;
  readonly days: readonly DayColumn[];
  readonly storeLimitKg: Kg;
  readonly stock: StockLine;
  readonly grades: readonly StockLine[];
  /** Nothing where there is no plan: then nothing arrives. */
  readonly outlook?: ProductionOutlook;
  readonly runs: readonly {
    readonly day: LocalDay;
    readonly product: string;
    readonly units: number;
    readonly needKg: Kg;
    readonly isDone: boolean;
  }[];
  /** Newest first. */
  readonly movements: readonly {
    readonly at: Instant;
    readonly grade: Grade;
    readonly kind: StockKind;
    readonly kg: Kg;
    readonly note: string;
  }[];
};
