import type { Bundle } from '../../core/record/bundle.ts';
import { bundleFileName, bundleText } from '../../core/record/bundle.ts';
import { domainBytes, type SealedKind } from '../../core/record/domain.ts';
import { keyFingerprint } from '../../core/record/fingerprint.ts';
import type { Sealed } from '../../core/record/objects.ts';
import { readObject } from '../../core/record/read-object.ts';
import { recordCrypto } from '../keys/crypto.ts';
import { newestVersions, type Attachment, type Sending } from './hand-in.ts';
import { depositReadme } from './readme.ts';
import { Manifest, pemOf, sealFiles, tagValue, type SealingKey } from './seal-bag.ts';
import type { ArchiveFile } from './zip-write.ts';

/** One record on its way into the archive. Long lists are read one at a time. */
export interface DepositSource {
  readonly bundle: Bundle;
  readonly recordTitle: string;
  readonly owner: string;
  /** The bound PDF files: `record.pdf`, `entries/001.pdf`. */
  readonly documents: AsyncIterable<ArchiveFile> | Iterable<ArchiveFile>;
  readonly attachments: AsyncIterable<Attachment> | Iterable<Attachment>;
}

/** Payload names: lower-case ASCII, so that no file system folds or composes two into one. */
const safeName = /^(entries\/)?[a-z0-9][a-z0-9._-]{0,99}$/;
const encoder = new TextEncoder();

const sealedLists = [
  ['certificate', 'certificates'],
  ['revocation', 'revocations'],
  ['checkpoint', 'checkpoints'],
  ['version', 'versions'],
  ['signature', 'signatures'],
  ['event', 'events'],
] as const satisfies readonly (readonly [SealedKind, keyof Bundle])[];

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

/**
 * The files of one BagIt bag (RFC 8493, version 1.0), in the order they are to be written; none is
 * kept in memory after it was handed out.
 *
 * @param sign the department's key, unlocked for this
 * @param onFile called after each file with the number of files so far
 */
export async function* depositFiles(
  source: DepositSource,
  sending: Sending,
  sign: SealingKey,
  onFile: (files: number) => void = () => undefined,
): AsyncGenerator<ArchiveFile, { readonly checkpoint: Sealed }> {
  const { bundle } = source;
  const readme = depositReadme({
    recordTitle: tagValue(source.recordTitle),
    institution: tagValue(bundle.institution),
    department: tagValue(bundle.department),
    fingerprint: keyFingerprint(recordCrypto, bundle.departmentKey),
    depositedAt: sending.at,
  });
  const manifest = new Manifest();
  let files = 0;
  for await (const file of payload(source, readme)) {
    await manifest.add(file);
    files += 1;
    yield file;
    onFile(files);
  }
  return yield* sealFiles(
    manifest,
    {
      organisation: `${bundle.department}, ${bundle.institution}`,
      description: `Practical record: ${source.recordTitle}, ${source.owner}`,
      identifier: sending.record ?? sending.notebook,
    },
    { ...sending, entries: newestVersions(bundle) },
    bundle.departmentKey,
    sign,
  );
}
