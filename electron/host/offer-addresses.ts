import { createInterface } from 'node:readline';
import type { LoopbackHost } from '../transport/http.ts';

/** An address works once; whoever closed the browser asks for another at the keyboard. */
export function offerAddresses(host: Pick<LoopbackHost, 'newAddress'>): void {
  if (!process.stdin.isTTY) return;
  console.log('Press Enter for another address, Ctrl+C to end.');
  createInterface({ input: process.stdin }).on('line', () => console.log(host.newAddress()));
}
