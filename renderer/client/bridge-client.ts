import type { RequestName } from '../../core/contract/request-map.ts';
import type { Answer, Client } from './client.ts';
import { refused } from './refused.ts';

/** What the desktop program's preload puts on the window. */
export interface Bridge {
  ask(name: string, input: unknown): Promise<unknown>;
}

declare global {
  interface Window {
    readonly fairleaf?: Bridge;
  }
}

/** Asks over the desktop program's bridge. */
export function bridgeClient(bridge: Bridge): Client {
  return {
    async ask<K extends RequestName>(name: K, input: unknown): Promise<Answer<K>> {
      try {
        // Svelte's state proxies cannot be cloned over the bridge; JSON is what HTTP sends as well.
        return (await bridge.ask(name, JSON.parse(JSON.stringify(input)))) as Answer<K>;
      } catch {
        return refused('internal');
      }
    },
  };
}
