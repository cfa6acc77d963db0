import { createHash, type Hash } from 'node:crypto';
import type { Bundle } from '../../core/record/bundle.ts';
import { bundleFileName, bundleText } from '../../core/record/bundle.ts';
import { sealCheckpoint, type Sign } from '../../core/record/build.ts';
import { canonical } from '../../core/record/canonical.ts';
import { domainBytes, type SealedKind } from '../../core/record/domain.ts';
import { keyFingerprint } from '../../core/record/fingerprint.ts';
import type { Sealed } from '../../core/record/objects.ts';
import { readObject } from '../../core/record/read-object.ts';
import { publicKeyFromHex, recordCrypto, sha256 } from '../keys/crypto.ts';
import { newestVersions, type Attachment, type Sending } from './hand-in.ts';
import { depositReadme } from './readme.ts';
import type { ArchiveFile } from './zip-write.ts';

/** One record on its way into the archive. Long lists are read one at a time. */
export interface DepositSource {
  readonly bundle: Bundle;
  readonly recordTitle: string;
  readonly owner: string;
  /** The bound PDF files: `record.pdf`, `entry-001.pdf`. */
  readonly documents: AsyncIterable<ArchiveFile> | Iterable<ArchiveFile>;
  readonly attachments: AsyncIterable<Attachment> | Iterable<Attachment>;
}

/** Payload names: lower-case ASCII, so that no file system folds or composes two into one. */
const safeName = /^[a-z0-9][a-z0-9._-]{0,99}$/;
const encoder = new TextEncoder();

const sealedLists = [
  ['certificate', 'certificates'],
  ['revocation', 'revocations'],
  ['checkpoint', 'checkpoints'],
  ['version', 'versions'],
  ['signature', 'signatures'],
  ['event', 'events'],
] as const satisfies readonly (readonly [SealedKind, keyof Bundle])[];

/** A public key as openssl reads it. */
export function pemOf(publicKey: string): string {
  const key = publicKeyFromHex(publicKey);
  if (key === null) throw new Error('a certificate names no usable key');
  return key.export({ format: 'pem', type: 'spki' }) as string;
}

/** Objects, signatures and keys as files of their own, for tools that know no JSON. */
function* objectFiles(bundle: Bundle): Generator<ArchiveFile> {
  const written = new Set<string>();
  const once = function* (path: string, data: Uint8Array): Generator<ArchiveFile> {
    if (written.has(path)) return;
    written.add(path);
    yield { path, data };
  };
  for (const [kind, list] of sealedLists) {
    for (const sealed of bundle[list]) {
      yield* once(`data/objects/${sealed.hash}`, domainBytes(kind, sealed.bytes));
      if (sealed.signature !== null) {
        yield* once(`data/signatures/${sealed.hash}.sig`, Buffer.from(sealed.signature, 'hex'));
      }
      if (kind === 'certificate') yield* once(...keyFile(sealed));
    }
  }
  yield* once(`data/keys/${bundle.departmentKey}.pem`, encoder.encode(pemOf(bundle.departmentKey)));
  for (const sealed of bundle.certificates) {
    const certificate = readObject('certificate', sealed.bytes);
    if (!certificate.ok) continue;
    const { issuer } = certificate.value;
    yield* once(`data/keys/${issuer}.pem`, encoder.encode(pemOf(issuer)));
  }
}

function keyFile(sealed: Sealed): [string, Uint8Array] {
  const certificate = readObject('certificate', sealed.bytes);
  if (!certificate.ok) throw new Error('a certificate of this notebook is not readable');
  return [`data/keys/${sealed.hash}.pem`, encoder.encode(pemOf(certificate.value.publicKey))];
}

async function* payload(source: DepositSource, readme: string): AsyncGenerator<ArchiveFile> {
  yield { path: 'data/README.txt', data: encoder.encode(readme) };
  for await (const { path, data } of source.documents) {
    if (!safeName.test(path)) throw new Error(`${path} is no name for a file of a deposit`);
    yield { path: `data/${path}`, data };
  }
  yield { path: `data/${bundleFileName}`, data: encoder.encode(bundleText(source.bundle)) };
  yield* objectFiles(source.bundle);
  for await (const { sha256: name, data } of source.attachments) {
    yield { path: `data/attachments/${name}`, data };
  }
}

/** Lines of a manifest (RFC 8493 §2.1.3), in the order the files were written. */
class Manifest {
  private readonly lines: string[] = [];
  private readonly algorithm: string;
  constructor(algorithm: 'sha256' | 'sha512') {
    this.algorithm = algorithm;
  }
  add({ path, data }: ArchiveFile): void {
    const hash: Hash = createHash(this.algorithm);
    this.lines.push(`${hash.update(data).digest('hex')}  ${path}\n`);
  }
  get data(): Uint8Array {
    return encoder.encode(this.lines.join(''));
  }
}

/** A tag value on one line (RFC 8493 §2.2.2): no line of a title may begin a tag of its own. */
const tagValue = (text: string): string => text.replace(/[\p{Cc}\p{Zl}\p{Zp}]+/gu, ' ').trim();

/**
 * The files of one BagIt bag (RFC 8493, version 1.0), in the order they are to be written; none is
 * kept in memory after it was handed out. The department signs a statement over the manifest: the
 * manifest alone proves nothing, since whoever changes a file can rewrite it.
 *
 * @param sign the department's key, unlocked for this
 * @param onFile called after each file with the number of bytes so far
 */
export async function* depositFiles(
  source: DepositSource,
  sending: Sending,
  sign: Sign,
  onFile: (files: number, bytes: number) => void = () => undefined,
): AsyncGenerator<ArchiveFile, { readonly checkpoint: Sealed }> {
  const { bundle } = source;
  const readme = depositReadme({
    recordTitle: tagValue(source.recordTitle),
    institution: tagValue(bundle.institution),
    department: tagValue(bundle.department),
    departmentKey: bundle.departmentKey,
    fingerprint: keyFingerprint(recordCrypto, bundle.departmentKey),
    depositedAt: sending.at,
  });
  const manifest = new Manifest('sha512');
  const tags = new Manifest('sha512');
  let files = 0;
  let bytes = 0;
  for await (const file of payload(source, readme)) {
    manifest.add(file);
    files += 1;
    bytes += file.data.length;
    yield file;
    onFile(files, bytes);
  }
  const manifestFile = { path: 'manifest-sha512.txt', data: manifest.data };
  const checkpoint = sealCheckpoint(
    recordCrypto,
    {
      ...sending,
      purpose: 'deposit',
      entries: newestVersions(bundle),
      manifestHash: sha256(manifestFile.data),
    },
    sign,
  );
  const tagFiles = [
    { path: 'bagit.txt', data: encoder.encode('BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n') },
    { path: 'bag-info.txt', data: encoder.encode(bagInfo(source, sending, bytes, files)) },
    manifestFile,
    { path: 'seal/checkpoint', data: domainBytes('checkpoint', checkpoint.bytes) },
    { path: 'seal/checkpoint.sig', data: Buffer.from(checkpoint.signature ?? '', 'hex') },
    { path: 'seal/checkpoint.json', data: encoder.encode(canonical(checkpoint)) },
    { path: 'seal/department.pem', data: encoder.encode(pemOf(bundle.departmentKey)) },
  ];
  for (const file of tagFiles) {
    tags.add(file);
    yield file;
  }
  yield { path: 'tagmanifest-sha512.txt', data: tags.data };
  return { checkpoint };
}

const bagInfo = (source: DepositSource, sending: Sending, bytes: number, files: number): string =>
  [
    ['Source-Organization', `${source.bundle.department}, ${source.bundle.institution}`],
    ['External-Description', `Practical record: ${source.recordTitle}, ${source.owner}`],
    ['External-Identifier', sending.record ?? sending.notebook],
    ['Bagging-Date', sending.at.slice(0, 10)],
    ['Payload-Oxum', `${bytes}.${files}`],
    ['Bag-Size', `${bytes} bytes`],
  ]
    .map(([label, value]) => `${label}: ${tagValue(value ?? '')}\n`)
    .join('');
