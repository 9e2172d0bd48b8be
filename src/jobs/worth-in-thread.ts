/** Starts a thread of simulated years; a signal asks it to end after the week it is in. */
import { Worker } from 'node:worker_threads';
import type { YearsRunner } from '../usecases/keep-worth-run.ts';
import type { WorthAnswer, WorthWork } from './worth-messages.ts';

/** @throws Error when the thread fails, with the thread's own message. */
export const yearsInThread: YearsRunner = (wanted, { onProgress, onWorld, signal }) =>
  new Promise((resolve, reject) => {
    const stopFlag = new SharedArrayBuffer(4);
    const work: WorthWork = { wanted, stopFlag };
    const worker = new Worker(new URL('./worth-thread.ts', import.meta.url), { workerData: work });
    const stop = (): void => {
      Atomics.store(new Int32Array(stopFlag), 0, 1);
    };
    if (signal.aborted) stop();
    signal.addEventListener('abort', stop);
    worker.on('message', (answer: WorthAnswer) => {
      if (answer.kind === 'progress') onProgress(answer.progress);
      else if (answer.kind === 'world') onWorld(answer.years);
      else if (answer.kind === 'over') resolve();
      else reject(new Error(answer.message));
    });
    worker.on('error', reject);
    worker.on('exit', (code) => {
      signal.removeEventListener('abort', stop);
      reject(new Error(`The thread of simulated years ended with code ${code}.`));
    });
  });
