import { X509Certificate, verify } from 'node:crypto';
import type { CheckFinding } from '../../core/contract/views.ts';
import type { Sealed } from '../../core/record/objects.ts';
import { checkSealStatement } from '../../core/record/seal-key.ts';
import { whenText } from '../../core/record/when.ts';
import { recordSentences } from '../../core/wording/record.ts';
import { readSealParts, rebuildSeal, type SealParts } from '../export/seal-cms.ts';
import { recordCrypto, sha256 } from '../keys/crypto.ts';

/** More ranges than any PDF of ours has; a hostile file does not keep the check busy for ever. */
const mostRanges = 64;

/** Where a PDF says that it is signed, and what stands there. */
interface Candidate {
  /** First byte of the signature's hexadecimal text, and the first behind it. */
  readonly from: number;
  readonly to: number;
  /** How much of the file it speaks of, its own text included. */
  readonly end: number;
  readonly parts: SealParts | null;
  /** The bytes of the signature itself. */
  readonly der: Uint8Array;
  /** Written as this program writes it: lower case, and zeros behind the signature. */
  readonly isTidy: boolean;
  /** When it was sealed, as the file says, UTC; null where it does not. */
  readonly at: string | null;
}

/** A digit of the range is written by us; anything longer is not. */
const rangeText = /^\/ByteRange\s*\[\s*0\s+(\d{1,10})\s+(\d{1,10})\s+(\d{1,10})\s*\]/;
const dateText = /\/M\s*\(D:(\d{4})(\d\d)(\d\d)(\d\d)(\d\d)(\d\d)Z?\)/;

function candidateAt(pdf: Buffer, at: number): Candidate | null {
  const match = rangeText.exec(pdf.toString('latin1', at, at + 80));
  if (match === null) return null;
  const [from, to, rest] = match.slice(1).map(Number) as [number, number, number];
  // The gap must be the signature's own text and nothing else, or something could hide in it.
  if (!(from < to && to + rest <= pdf.length && pdf[from] === 0x3c && pdf[to - 1] === 0x3e)) return null;
  const hex = pdf.toString('latin1', from + 1, to - 1);
  if (!/^([0-9a-fA-F]{2})+$/.test(hex)) return null;
  const room = Buffer.from(hex, 'hex');
  // A DER sequence of this size gives its length in the two bytes behind its tag (X.690, 8.1.3).
  const length = room[0] === 0x30 && room[1] === 0x82 ? 4 + room.readUInt16BE(2) : 0;
  const der = room.subarray(0, length);
  const objectStart = pdf.lastIndexOf(' obj', at, 'latin1');
  const objectEnd = pdf.indexOf('endobj', at, 'latin1');
  const date = dateText.exec(
    pdf.toString('latin1', Math.max(0, objectStart), objectEnd < 0 ? at : objectEnd),
  );
  const [, year, month, day, hour, minute, second] = date ?? [];
  return {
    from,
    to,
    end: to + rest,
    parts: length === 0 ? null : readSealParts(der),
    der,
    isTidy: hex === hex.toLowerCase() && room.subarray(length).every((byte) => byte === 0),
    at: date === null ? null : `${year}-${month}-${day}T${hour}:${minute}:${second}.000Z`,
  };
}

/**
 * Looks through the bytes and not through the PDF's structure: whoever adds to a file can make its
 * structure say anything, but cannot take away what stands before.
 */
function candidatesIn(pdf: Buffer): readonly Candidate[] {
  const found: Candidate[] = [];
  for (let at = pdf.indexOf('/ByteRange'); at >= 0; at = pdf.indexOf('/ByteRange', at + 1)) {
    const candidate = candidateAt(pdf, at);
    if (candidate !== null) found.push(candidate);
    if (found.length >= mostRanges) break;
  }
  return found;
}

/** True when not one byte of what it covers, nor of the seal itself, was changed. */
async function holds(pdf: Buffer, { from, to, end, parts, der, isTidy }: Candidate): Promise<boolean> {
  if (parts === null || !isTidy) return false;
  const covered = Buffer.concat([pdf.subarray(0, from), pdf.subarray(to, end)]);
  try {
    const rebuilt = await rebuildSeal(covered, parts);
    if (Buffer.compare(der, rebuilt) !== 0) return false;
    const { publicKey } = new X509Certificate(parts.certificate);
    return verify('sha256', parts.attributes, { key: publicKey, dsaEncoding: 'der' }, parts.signature);
  } catch {
    return false;
  }
}

const found = (
  severity: CheckFinding['severity'],
  code: string,
  facts: Readonly<Record<string, string | number>> = {},
): CheckFinding => ({
  severity,
  code,
  place: 'the seal of this PDF',
  sentence: recordSentences[code]?.(facts) ?? code,
});

/**
 * What the seal of a PDF says: whole, changed after sealing, added to after sealing, gone, or made with
 * a certificate the department does not vouch for.
 *
 * @param statement the department's word on its seal, as the PDF carries it; null when it carries none
 * @param departmentKeys raw keys of the department that the reader trusts, hex
 */
export async function checkPdfSeal(
  bytes: Uint8Array,
  statement: Sealed | null,
  departmentKeys: ReadonlySet<string>,
): Promise<readonly CheckFinding[]> {
  const pdf = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const candidates = candidatesIn(pdf);
  if (candidates.length === 0) {
    return [statement === null ? found('note', 'pdf-seal-none') : found('broken', 'pdf-seal-removed')];
  }
  const wordOn = ({ parts }: Candidate): ReturnType<typeof checkSealStatement> | null =>
    parts === null || statement === null
      ? null
      : checkSealStatement(recordCrypto, statement, departmentKeys, {
          certificate: sha256(parts.certificate),
          anchor: sha256(parts.anchor),
        });
  const ours = candidates.find((candidate) => wordOn(candidate)?.ok === true);
  if (ours === undefined) {
    const other = candidates.find((candidate) => candidate.parts !== null);
    return [
      other === undefined
        ? found('broken', 'pdf-seal-unreadable')
        : found('broken', 'pdf-seal-other', { name: other.parts?.commonName ?? '' }),
    ];
  }
  const word = wordOn(ours);
  if (word?.ok !== true) return [];
  const { department, institution, notBefore, notAfter } = word.value;
  const name = `${department}, ${institution}`;
  if (!(await holds(pdf, ours))) return [found('broken', 'pdf-seal-changed', { name })];
  if (ours.end !== pdf.length) {
    const count = pdf.length - ours.end;
    return [found('broken', 'pdf-seal-appended', { name, covered: ours.end, count })];
  }
  const at = ours.at ?? '';
  const isTimely = at >= notBefore && at <= notAfter;
  return [
    ...(isTimely
      ? []
      : [
          found('doubtful', 'pdf-seal-outside-validity', {
            at: whenText(at, 0),
            from: whenText(notBefore, 0),
            until: whenText(notAfter, 0),
          }),
        ]),
    found('note', 'pdf-seal-intact', { name, at: whenText(at, 0) }),
  ];
}
