import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { sealCheckpoint } from '../../core/record/build.ts';
import { canonical } from '../../core/record/canonical.ts';
import { domainBytes } from '../../core/record/domain.ts';
import type { Checkpoint, Sealed } from '../../core/record/objects.ts';
import { publicKeyFromHex, recordCrypto, sha256 } from '../keys/crypto.ts';
import type { Sending } from './hand-in.ts';
import type { ArchiveFile, LongFile } from './zip-write.ts';

/** The department's key, wherever it is unlocked: 128 hexadecimal digits, Ed25519 over the bytes. */
export type SealingKey = (bytes: Uint8Array) => string | Promise<string>;

const encoder = new TextEncoder();

/** A public key as openssl reads it. */
export function pemOf(publicKey: string): string {
  const key = publicKeyFromHex(publicKey);
  if (key === null) throw new Error('a certificate names no usable key');
  return key.export({ format: 'pem', type: 'spki' }) as string;
}

/** A tag value on one line (RFC 8493 §2.2.2): no line of a title may begin a tag of its own. */
export const tagValue = (text: string): string => text.replace(/[\p{Cc}\p{Zl}\p{Zp}]+/gu, ' ').trim();

/** Lines of a manifest (RFC 8493 §2.1.3), in the order the files were written. */
export class Manifest {
  readonly #lines: string[] = [];
  #files = 0;
  #bytes = 0;

  async add(file: ArchiveFile | LongFile): Promise<void> {
    const hash = createHash('sha512');
    if ('data' in file) hash.update(file.data);
    else for await (const part of createReadStream(file.from)) hash.update(part as Buffer);
    this.#lines.push(`${hash.digest('hex')}  ${file.path}\n`);
    this.#files += 1;
    this.#bytes += 'data' in file ? file.data.length : file.sizeBytes;
  }
  get data(): Uint8Array {
    return encoder.encode(this.#lines.join(''));
  }
  /** Octets and number of files, as Payload-Oxum wants them. */
  get oxum(): string {
    return `${this.#bytes}.${this.#files}`;
  }
}

/** What `bag-info.txt` says beside its date and size. */
export interface BagLabels {
  readonly organisation: string;
  readonly description: string;
  readonly identifier: string;
}

/**
 * The files around a payload that is complete: declaration, list, labels, and the department's signed
 * statement over the list. The list alone proves nothing, since whoever changes a file can rewrite it.
 */
export async function* sealFiles(
  manifest: Manifest,
  labels: BagLabels,
  stated: Sending & Pick<Checkpoint, 'entries'>,
  departmentKey: string,
  sign: SealingKey,
): AsyncGenerator<ArchiveFile, { readonly checkpoint: Sealed }> {
  const manifestFile = { path: 'manifest-sha512.txt', data: manifest.data };
  const unsigned = sealCheckpoint(
    recordCrypto,
    { ...stated, purpose: 'deposit', manifestHash: sha256(manifestFile.data) },
    () => '',
  );
  const signed = domainBytes('checkpoint', unsigned.bytes);
  const signature = await sign(signed);
  const checkpoint: Sealed = { ...unsigned, signature };
  const info = [
    ['Source-Organization', labels.organisation],
    ['External-Description', labels.description],
    ['External-Identifier', labels.identifier],
    ['Bagging-Date', stated.at.slice(0, 10)],
    ['Payload-Oxum', manifest.oxum],
    ['Bag-Size', `${manifest.oxum.split('.')[0] ?? ''} bytes`],
  ].map(([label, value]) => `${label ?? ''}: ${tagValue(value ?? '')}\n`);
  const tags = new Manifest();
  const files: readonly ArchiveFile[] = [
    { path: 'bagit.txt', data: encoder.encode('BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n') },
    { path: 'bag-info.txt', data: encoder.encode(info.join('')) },
    manifestFile,
    { path: 'seal/checkpoint', data: signed },
    { path: 'seal/checkpoint.sig', data: Buffer.from(signature, 'hex') },
    { path: 'seal/checkpoint.json', data: encoder.encode(canonical(checkpoint)) },
    { path: 'seal/department.pem', data: encoder.encode(pemOf(departmentKey)) },
  ];
  for (const file of files) {
    await tags.add(file);
    yield file;
  }
  yield { path: 'tagmanifest-sha512.txt', data: tags.data };
  return { checkpoint };
}
