/** Runs in a worker thread over a connection of its own: fits or scores the whole history, and writes nothing. */
import { parentPort, workerData } from 'node:worker_threads';
import { closeStore, openStore } from '../store/db.ts';
import { fitHistory } from '../usecases/fit-estimator.ts';
import { scoreHistory } from '../usecases/score-history.ts';
import type { HistoryAnswer, HistoryWork } from './history-messages.ts';

const { task, databasePath } = workerData as HistoryWork;
const say = (answer: HistoryAnswer): void => parentPort?.postMessage(answer);

try {
  const store = openStore(databasePath);
  try {
    if (task === 'fit') say({ kind: 'fitted', fitted: fitHistory(store) });
    else say({ kind: 'scored', scored: scoreHistory(store, (phase) => say({ kind: 'phase', phase })) });
  } finally {
    closeStore(store);
  }
} catch (error) {
  say({ kind: 'failed', message: error instanceof Error ? error.message : String(error) });
}
