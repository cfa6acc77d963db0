import { parentPort } from 'node:worker_threads';
import { bareCost, type BareWork } from './cost.ts';

// A thread for a share of the bare cost: takes the work first, and does it when told, so that neither
// its start nor the way of the data counts.
let work: BareWork | null = null;
parentPort?.on('message', (message: BareWork | 'go') => {
  if (message === 'go') {
    if (work !== null) bareCost(work);
    parentPort?.postMessage('done');
  } else {
    work = message;
    bareCost(work);
    parentPort?.postMessage('ready');
  }
});
