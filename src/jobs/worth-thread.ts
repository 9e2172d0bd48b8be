/** Runs in a worker thread, so that minutes of simulated years never hold up a driver's page. */
import { parentPort, workerData } from 'node:worker_threads';
import type { WorthAnswer, WorthWork } from './worth-messages.ts';
import { yearsInPlace } from './years-in-place.ts';

const { wanted, stopFlag } = workerData as WorthWork;
const stop = new Int32Array(stopFlag);
const stopping = new AbortController();
const say = (answer: WorthAnswer): void => parentPort?.postMessage(answer);

try {
  await yearsInPlace(wanted, {
    onProgress: (progress) => {
      if (Atomics.load(stop, 0) !== 0) stopping.abort();
      say({ kind: 'progress', progress });
    },
    onWorld: (years) => say({ kind: 'world', years }),
    signal: stopping.signal,
  });
  say({ kind: 'over' });
} catch (error) {
  say({ kind: 'failed', message: error instanceof Error ? error.message : String(error) });
}
