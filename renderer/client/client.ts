import type { Refusal } from '../../core/contract/contract.ts';
import type { CodeOf, InputOf, ReplyOf, RequestName } from '../../core/contract/request-map.ts';
import type { Result } from '../../core/result.ts';

export type Answer<K extends RequestName> = Result<ReplyOf<K>, Refusal<CodeOf<K>>>;

/** All that a screen knows of the world outside: it asks, and is answered. Never throws. */
export interface Client {
  ask<K extends RequestName>(name: K, input: InputOf<K>): Promise<Answer<K>>;
}
