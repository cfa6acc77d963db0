import { setImmediate as nextTurn } from 'node:timers/promises';
import type { CheckReport } from '../../core/contract/views.ts';
import type { CheckInput } from '../../core/record/check-input.ts';
import type { RecordCrypto } from '../../core/record/domain.ts';
import { verifySteps } from '../../core/record/verify.ts';
import { recordCrypto } from '../keys/crypto.ts';

export interface CheckOptions {
  /** The department's key or printed fingerprint, from outside the file. */
  readonly pinnedKey?: string | null;
  /** Called with 0 to 1 and the words for the stage. */
  readonly onProgress?: (done: number, stage: string) => void;
  readonly signal?: AbortSignal;
  /** How many threads share the work on a long notebook; as many as there are cores unless said otherwise. */
  readonly threads?: number;
  /** Shares out short ones as well. */
  readonly alwaysShares?: boolean;
}

const stageWords = {
  trail: 'audit trail',
  versions: 'signed versions',
  signatures: 'signatures',
  rows: 'everything else',
  attachments: 'attachments',
} as const;
export type Sizes = Readonly<Record<keyof typeof stageWords, number>>;

/** Long enough to be quick, short enough that the window stays alive, ms. */
const turnMs = 30;

/**
 * Runs a check, letting others have their turn now and then.
 *
 * @param crypto may know some answers already
 * @param sizes how much each stage has to do, for the progress bar; leave out where not known
 * @throws the signal's reason when it is aborted
 */
export async function runCheck(
  input: CheckInput,
  options: CheckOptions,
  sizes: Sizes | null = null,
  crypto: RecordCrypto = recordCrypto,
): Promise<CheckReport> {
  const steps = verifySteps(input, crypto);
  let since = performance.now();
  for (;;) {
    const step = steps.next();
    if (step.done === true) {
      options.onProgress?.(1, 'done');
      return step.value;
    }
    if (performance.now() - since < turnMs) continue;
    options.signal?.throwIfAborted();
    const { stage, done } = step.value;
    if (sizes !== null) options.onProgress?.(fraction(sizes, stage, done), stageWords[stage]);
    await nextTurn();
    since = performance.now();
  }
}

function fraction(sizes: Sizes, stage: keyof Sizes, done: number): number {
  const order = Object.keys(stageWords) as (keyof Sizes)[];
  const total = order.reduce((sum, key) => sum + sizes[key], 0);
  const before = order.slice(0, order.indexOf(stage)).reduce((sum, key) => sum + sizes[key], 0);
  return total === 0 ? 0 : Math.min(1, (before + done) / total);
}
