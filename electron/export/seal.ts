import type { SealKey } from './seal-certificate.ts';
import { signSeal } from './seal-cms.ts';
import { rangePlaceholder, sealRoom } from './seal-room.ts';

/**
 * Seals a PDF that was written with room for it (`PdfDocument.reserveSeal`): fills in which bytes are
 * covered (all but the signature itself) and the signature over them.
 *
 * @param mark the bytes that hold the room, so that no text in the file can be taken for it
 * @throws Error when the file has no such room
 */
export async function fillSeal(pdf: Uint8Array, mark: Uint8Array, key: SealKey): Promise<Uint8Array> {
  const out = Buffer.from(pdf);
  const held = `<${Buffer.from(mark).toString('hex')}>`;
  const from = out.indexOf(held, 0, 'latin1');
  const range = `[0 /${rangePlaceholder} /${rangePlaceholder} /${rangePlaceholder}]`;
  const rangeAt = out.lastIndexOf(range, from, 'latin1');
  if (from < 0 || rangeAt < 0) throw new Error('the file has no room for a seal');
  const to = from + held.length;
  const covered = `[0 ${from} ${to} ${out.length - to}]`.padEnd(range.length, ' ');
  out.write(covered, rangeAt, 'latin1');
  const signature = await signSeal(
    Buffer.concat([out.subarray(0, from), out.subarray(to)]),
    [key.certificate, key.anchor],
    key.privateKey,
  );
  if (signature.length > sealRoom) throw new Error('the signature is larger than its room');
  out.write(
    Buffer.from(signature)
      .toString('hex')
      .padEnd(sealRoom * 2, '0'),
    from + 1,
    'latin1',
  );
  return new Uint8Array(out);
}
