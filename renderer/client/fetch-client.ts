import type { RequestName } from '../../core/contract/request-map.ts';
import type { Answer, Client } from './client.ts';
import { refused } from './refused.ts';

/** Asks over HTTP: the loopback host that served this page. One POST per request. */
export function fetchClient(base: string): Client {
  return {
    async ask<K extends RequestName>(name: K, input: unknown): Promise<Answer<K>> {
      try {
        const body = JSON.stringify(input);
        const response = await fetch(new URL(`ask/${name}`, base), {
          method: 'POST',
          credentials: 'same-origin',
          headers: { 'content-type': 'application/json' },
          body,
          // The last save of a page that is closed still arrives; browsers allow 64 KiB for that.
          keepalive: name === 'draft.save' && body.length < 60_000,
        });
        return (await response.json()) as Answer<K>;
      } catch {
        // The host is gone or answered something that is no reply: the page goes on, and says so.
        return refused('internal');
      }
    },
  };
}
