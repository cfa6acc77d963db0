import type { StoredRow } from '../attest.ts';
import { checkSealStatement, readStoredSealKey } from '../seal-key.ts';
import type { Surroundings } from './signatures.ts';

const place = 'the department’s seal';

const bytesOf = (hex: string): Uint8Array | null =>
  /^([0-9a-f]{2})+$/.test(hex)
    ? Uint8Array.from(hex.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16))
    : null;

/** Is the certificate of this seal the one the department's key speaks of? */
export function checkSealKey({ crypto, findings, people }: Surroundings, row: StoredRow): void {
  const { certificate, sealed } = row;
  const der = typeof certificate === 'string' ? bytesOf(certificate) : null;
  const stored = typeof sealed === 'string' ? readStoredSealKey(sealed) : null;
  if (der === null || stored?.ok !== true) {
    findings.broken('seal-statement-changed', place);
    return;
  }
  const { statement, anchor } = stored.value;
  const checked = checkSealStatement(crypto, statement, people.departmentKeys, {
    certificate: crypto.sha256(der),
    anchor: crypto.sha256(bytesOf(anchor) ?? new Uint8Array()),
  });
  if (!checked.ok) findings.broken(checked.error.code, place);
}
