import type { Witness } from '../check-input.ts';
import { whenText } from '../when.ts';
import type { Surroundings } from './signatures.ts';

/**
 * Holds the trail against what was seen of it from outside. This is the only way to notice that the
 * end is missing, or that the whole file is an older copy of itself: such a file is in perfect order.
 */
export function checkWitnesses(around: Surroundings, stored: readonly Witness[]): void {
  const { input, trail, findings } = around;
  for (const witness of [...input.witnesses, ...stored]) {
    if (witness.notebook !== input.notebook || input.scope !== 'notebook') continue;
    const facts = {
      seq: witness.seq,
      last: trail.last,
      source: witness.source,
      seen: whenText(witness.seenAt, 0),
    };
    if (witness.seq > trail.last) {
      findings.broken('rolled-back', `the end of the audit trail, after event ${trail.last}`, facts);
      continue;
    }
    const head = trail.heads[witness.seq];
    if (head !== undefined && head !== witness.head && trail.firstBroken !== witness.seq) {
      findings.broken('trail-replaced', `event ${witness.seq} of the audit trail`, facts);
    }
  }
}
