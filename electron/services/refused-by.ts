import type { CommonCode, Refusal } from '../../core/contract/contract.ts';
import type { Problem } from '../../core/result.ts';

const common: readonly CommonCode[] = ['not-allowed', 'not-found', 'invalid-input'];

/**
 * Core's refusal as a reply.
 *
 * @param codes those of core's codes that this request may answer with
 * @throws for any other: the contract would not carry it, which is a bug
 */
export function refusedBy<const Code extends string>(
  problem: Problem,
  codes: readonly Code[],
): { readonly ok: false; readonly error: Refusal<Code> } {
  const code = [...codes, ...common].find((known) => known === problem.code);
  if (code === undefined) throw new Error(`core refused with a code of its own: ${problem.code}`);
  return { ok: false, error: { code, where: problem.where, facts: problem.facts } };
}
