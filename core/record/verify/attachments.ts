import type { Surroundings } from './signatures.ts';
import { evidenceKey } from './trail.ts';

/** Attachments are named by the hash of their content; versions list that name. */
export function* checkAttachments(
  around: Surroundings,
  rowsSeen: ReadonlySet<string>,
): Generator<number, number> {
  const { input, crypto, findings, entries } = around;
  const present = new Set<string>();
  let count = 0;
  for (const { sha256, data } of input.attachments) {
    count += 1;
    present.add(sha256);
    if (crypto.sha256(data) !== sha256) {
      findings.broken('attachment-changed', `the attachment ${sha256.slice(0, 12)}`);
    }
    yield count;
  }
  for (const version of entries.byHash.values()) {
    for (const sha256 of version.attachments) {
      if (present.has(sha256)) continue;
      const isRowHere = rowsSeen.has(evidenceKey('attachment', sha256));
      if (input.scope === 'notebook' || isRowHere) {
        findings.broken('attachment-missing', version.place, { attachment: sha256.slice(0, 12) });
      } else {
        findings.note('attachment-not-here', version.place, { attachment: sha256.slice(0, 12) });
      }
    }
  }
  return count;
}
