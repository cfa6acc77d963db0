import type { OwnCompoundVersion, Sha256Hex } from '../objects.ts';
import { readSealed } from '../read-object.ts';
import { checkColumns } from './columns.ts';
import { faultFacts, markDamaged } from './fault.ts';
import type { Surroundings } from './signatures.ts';
import { evidenceKey } from './trail.ts';

const placeOf = (name: string, n: number): string => `the department’s own compound “${name}”, version ${n}`;

/** A damaged form still tells, as a rule, which one it is; that is for the words only. */
function placeOfBroken(bytes: string, count: number): string {
  try {
    const found = JSON.parse(bytes) as { content?: { name?: unknown }; n?: unknown } | null;
    if (typeof found?.content?.name === 'string' && typeof found.n === 'number') {
      return placeOf(found.content.name, found.n);
    }
  } catch {
    // Not even JSON any more: the place in the file has to do.
  }
  return `the department’s own compounds, number ${count} in the file`;
}

/**
 * Compounds of the department's own: every saved form is as it was written, an event vouches for it, and
 * it follows from the form before. Nobody signs them; an entry copies what it uses.
 *
 * @returns how many there are, and which the trail need not miss
 */
export function checkOwnCompounds(around: Surroundings): { count: number; seen: ReadonlySet<string> } {
  const { input, crypto, findings, trail, damaged } = around;
  const seen = new Set<string>();
  const byCompound = new Map<string, { readonly hash: Sha256Hex; readonly version: OwnCompoundVersion }[]>();
  let count = 0;
  for (const sealed of input.ownCompounds ?? []) {
    count += 1;
    const read = readSealed(crypto, 'own_compound', sealed);
    if (!read.ok) {
      findings.broken('own-compound-changed', placeOfBroken(sealed.bytes, count), faultFacts(read.error));
      markDamaged(crypto, damaged, 'own_compound', sealed);
      continue;
    }
    const version = read.value;
    const place = placeOf(version.content.name, version.n);
    checkColumns('own_compound', sealed, version, () => place, findings);
    const key = evidenceKey('own_compound', sealed.hash);
    if (seen.has(key)) findings.broken('row-twice', place);
    seen.add(key);
    if (input.scope === 'notebook' && !trail.evidence.has(key)) findings.broken('object-unknown', place);
    const forms = byCompound.get(version.compound);
    if (forms === undefined) byCompound.set(version.compound, [{ hash: sealed.hash, version }]);
    else forms.push({ hash: sealed.hash, version });
  }
  for (const forms of byCompound.values()) {
    forms.sort((a, b) => a.version.n - b.version.n);
    let before: Sha256Hex | null = null;
    let n = 0;
    for (const { hash, version } of forms) {
      const { previousVersion } = version;
      // One that is there but damaged has been reported.
      const isKnownGap = previousVersion !== null && damaged.has(previousVersion);
      if (!isKnownGap && (version.n !== n + 1 || previousVersion !== before)) {
        findings.broken('own-compound-order', placeOf(version.content.name, version.n));
      }
      before = hash;
      n = version.n;
    }
  }
  return { count, seen };
}
