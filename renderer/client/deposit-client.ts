import { fail } from '../../core/result.ts';
import type { InputOf, RequestName } from '../../core/contract/request-map.ts';
import type { Answer, Client } from './client.ts';

/**
 * The client for the pages of an opened deposit: an entry and its versions come from there, and
 * whatever would reach into the notebook finds nothing.
 */
export const depositClient = (client: Client): Client => ({
  async ask<K extends RequestName>(name: K, input: InputOf<K>): Promise<Answer<K>> {
    switch (name) {
      case 'entry.open':
        return (await client.ask('deposit.entry', input as InputOf<'entry.open'>)) as Answer<K>;
      case 'version.read':
        return (await client.ask('deposit.version', input as InputOf<'version.read'>)) as Answer<K>;
      default:
        return fail({ code: 'not-found', where: name, facts: {} }) as Answer<K>;
    }
  },
});
