import { fail } from '../../core/result.ts';
import type { RequestName } from '../../core/contract/request-map.ts';
import type { Answer, Client } from './client.ts';

/**
 * The client for the pages of an opened deposit: an entry and its versions come from there, and
 * whatever would reach into the notebook finds nothing.
 */
export const depositClient = (client: Client): Client => ({
  async ask<K extends RequestName>(name: K, input: never): Promise<Answer<K>> {
    if (name === 'entry.open') return client.ask('deposit.entry', input);
    if (name === 'version.read') return client.ask('deposit.version', input);
    return Promise.resolve(fail({ code: 'not-found', where: name, facts: {} }));
  },
});
