import { closeSync, openSync, rmSync } from 'node:fs';
import { takeWriterLock } from '../../../electron/storage/writer-lock.ts';

// Takes and gives back the writer lock as often as it can for a while. Whoever holds it makes a file that must
// not be there yet; two at once are seen by that. Prints how often it had the lock, or that there were two.
const [, , path = '', ms = '0'] = process.argv;
const until = Date.now() + Number(ms);
let held = 0;
while (Date.now() < until) {
  let lock: { release(): void };
  try {
    lock = takeWriterLock(path, 'now');
  } catch {
    continue;
  }
  try {
    closeSync(openSync(`${path}.held`, 'wx'));
  } catch {
    process.stdout.write('two writers');
    process.exit(1);
  }
  held += 1;
  rmSync(`${path}.held`);
  lock.release();
}
process.stdout.write(String(held));
