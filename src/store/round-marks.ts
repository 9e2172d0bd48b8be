/** How rounds go, as their drivers say it: started, paused, resumed, finished. */
import { and, asc, eq, inArray } from 'drizzle-orm';
import { roundMarks } from '../../db/schema.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { RoundMark } from '../core/vocabulary.ts';
import type { Db, Tx } from './db.ts';

export type MarkOfRound = {
  readonly id: string;
  readonly roundId: string;
  readonly mark: RoundMark;
  readonly at: Instant;
  readonly recordedBy: string;
  readonly recordedAt: Instant;
};

export function recordMark(tx: Tx, mark: MarkOfRound): void {
  tx.insert(roundMarks).values(mark).run();
}

export const getMark = (db: Db, id: string): MarkOfRound | undefined =>
  db.select().from(roundMarks).where(eq(roundMarks.id, id)).get();

/** In the order they were handed in. */
export const marksOfRound = (db: Db, roundId: string): MarkOfRound[] =>
  db
    .select()
    .from(roundMarks)
    .where(eq(roundMarks.roundId, roundId))
    .orderBy(asc(roundMarks.recordedAt), asc(roundMarks.at))
    .all();

/** Which of these rounds have left. */
export const startedAmong = (db: Db, roundIds: readonly string[]): ReadonlySet<string> =>
  new Set(
    db
      .select({ roundId: roundMarks.roundId })
      .from(roundMarks)
      .where(and(inArray(roundMarks.roundId, [...roundIds]), eq(roundMarks.mark, 'started')))
      .all()
      .map(({ roundId }) => roundId),
  );
