import type { RequestName } from '../../core/contract/request-map.ts';
import type { Answer, Client } from './client.ts';

/** The client with an ear for "not signed in": the session may lock on the other side first. */
export function watchedClient(client: Client, onNotSignedIn: () => void): Client {
  return {
    async ask<K extends RequestName>(name: K, input: never): Promise<Answer<K>> {
      const answer = await client.ask<K>(name, input);
      if (!answer.ok && answer.error.code === 'not-signed-in') onNotSignedIn();
      return answer;
    },
  };
}
