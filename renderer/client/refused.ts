import type { CommonCode, Refusal } from '../../core/contract/contract.ts';

/** A refusal made on this side, when no reply came at all. */
export const refused = (code: CommonCode): { readonly ok: false; readonly error: Refusal<never> } => ({
  ok: false,
  error: { code, where: '', facts: {} },
});
