/** Starts a thread that fits or scores the whole history; a signal ends it at once, since it only reads. */
import { Worker } from 'node:worker_threads';
import type { HistoryFitter } from '../usecases/fit-estimator.ts';
import type { HistoryScorer } from '../usecases/score-history.ts';
import type { HistoryAnswer, HistoryWork } from './history-messages.ts';

export const fitInThread =
  (databasePath: string): HistoryFitter =>
  async (signal) => {
    const answer = await run({ task: 'fit', databasePath }, signal);
    if (answer.kind !== 'fitted') throw new Error(`The fitting thread answered "${answer.kind}".`);
    return answer.fitted;
  };

export const scoreInThread =
  (databasePath: string): HistoryScorer =>
  async (onPhase, signal) => {
    const answer = await run({ task: 'score', databasePath }, signal, ({ phase }) => onPhase(phase));
    if (answer.kind !== 'scored') throw new Error(`The scoring thread answered "${answer.kind}".`);
    return answer.scored;
  };

type Phase = Extract<HistoryAnswer, { readonly kind: 'phase' }>;

/** @throws Error when the thread fails, with the thread's own message, or is ended by the signal. */
function run(
  work: HistoryWork,
  signal: AbortSignal,
  onPhase: (answer: Phase) => void = () => {},
): Promise<Exclude<HistoryAnswer, Phase>> {
  return new Promise((resolve, reject) => {
    const worker = new Worker(new URL('./history-thread.ts', import.meta.url), { workerData: work });
    const end = (): void => void worker.terminate();
    if (signal.aborted) end();
    signal.addEventListener('abort', end);
    worker.on('message', (answer: HistoryAnswer) => {
      if (answer.kind === 'phase') onPhase(answer);
      else if (answer.kind === 'failed') reject(new Error(answer.message));
      else resolve(answer);
    });
    worker.on('error', reject);
    worker.on('exit', (code) => {
      signal.removeEventListener('abort', end);
      reject(new Error(`The thread over the history ended with code ${code}.`));
    });
  });
}
