import type * as v from 'valibot';

/**
 * One request: what goes in (parsed by `input`), what comes back, and the codes it can be refused
 * with. Every transport serves exactly this list.
 */
export interface RequestContract<Input, Reply, Code extends string> {
  readonly input: v.GenericSchema<unknown, Input>;
  readonly reply: v.GenericSchema<unknown, Reply>;
  readonly codes: readonly Code[];
}

export const contract = <Input, Reply, const Code extends string = never>(
  input: v.GenericSchema<unknown, Input>,
  reply: v.GenericSchema<unknown, Reply>,
  codes: readonly Code[] = [],
): RequestContract<Input, Reply, Code> => ({ input, reply, codes });

/** Codes every request may answer with. */
export type CommonCode =
  'invalid-input' | 'not-signed-in' | 'not-allowed' | 'not-found' | 'storage-failed' | 'internal';

export interface Refusal<Code extends string = string> {
  readonly code: Code | CommonCode;
  /** Path of the field at fault for `invalid-input`, else ''. */
  readonly where: string;
  readonly facts: Readonly<Record<string, string | number>>;
}
