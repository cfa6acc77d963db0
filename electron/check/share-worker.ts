import { parentPort, workerData } from 'node:worker_threads';
import Database from 'better-sqlite3';
import { sharePart, type Share } from './share.ts';

// A thread for one share of a check: does it, says so, and is thrown away.
if (parentPort !== null) {
  const share = workerData as Share;
  // The check itself has looked over the whole file; a second look would cost more than the share.
  const database = new Database(share.path, { readonly: true, fileMustExist: true });
  database.pragma('trusted_schema = off');
  try {
    parentPort.postMessage(sharePart(database, share));
  } finally {
    database.close();
  }
}
