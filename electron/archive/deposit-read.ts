import type { CheckFinding, CheckReport } from '../../core/contract/views.ts';
import { bundleFileName, inputFromBundle, readBundle, type Bundle } from '../../core/record/bundle.ts';
import { readCanonical } from '../../core/record/canonical.ts';
import { domainBytes, domainHash } from '../../core/record/domain.ts';
import type { Checkpoint, Sealed } from '../../core/record/objects.ts';
import { readObject } from '../../core/record/read-object.ts';
import { hash, matching, object, text } from '../../core/record/shape.ts';
import { ok, type Problem, type Result } from '../../core/result.ts';
import { recordSentences } from '../../core/wording/record.ts';
import { runCheck, type CheckOptions } from '../check/run-check.ts';
import { recordCrypto, sha256, verifyEd25519 } from '../keys/crypto.ts';
import { decodeText, reading, validateBag, type BagSource } from './bag.ts';
import { depositSource } from './deposit-source.ts';
import { pemOf } from './seal-bag.ts';
import { PackageProblem } from './zip-read.ts';

const sealedShape = object({ bytes: text(10_000_000), hash, signature: matching(/^[0-9a-f]{128}$/) });

/** What a deposit holds, for reading it in the program. */
export interface Deposit {
  readonly bundle: Bundle;
  readonly seal: Sealed;
  readonly documents: readonly string[];
}

/** The department's signed statement over a bag. @throws PackageProblem */
export async function readSeal(source: BagSource): Promise<Sealed> {
  const seal = readCanonical(decodeText(await needed(source, 'seal/checkpoint.json')), {
    maxLength: 20_000_000,
  });
  if (!seal.ok) throw new PackageProblem(seal.error.code, seal.error.facts);
  if (sealedShape(seal.value, '') !== null) throw new PackageProblem('wrong-shape', { kind: 'deposit' });
  return seal.value as Sealed;
}

/** @throws PackageProblem package-incomplete */
export async function needed(source: BagSource, name: string): Promise<Uint8Array> {
  if (!source.names.includes(name)) throw new PackageProblem('package-incomplete', { name });
  return source.read(name);
}

/** Reads what one record's bag holds. @throws PackageProblem */
export async function readDeposit(source: BagSource): Promise<Deposit> {
  const seal = await readSeal(source);
  const bundle = readBundle(decodeText(await needed(source, `data/${bundleFileName}`)));
  if (!bundle.ok) throw new PackageProblem(bundle.error.code, bundle.error.facts);
  return {
    bundle: bundle.value,
    seal,
    documents: source.names.filter((name) => /^data\/(entries\/)?[^/]+\.pdf$/.test(name)),
  };
}

/**
 * Opens a deposit for reading: a folder or a zip of it.
 *
 * @error those of `openPackage`; package-incomplete, not-utf8, wrong-shape and those of `readBundle`
 */
export async function openDeposit(
  path: string,
): Promise<Result<Deposit & { readonly source: BagSource; readonly close: () => void }, Problem>> {
  const sourced = await depositSource(path);
  if (!sourced.ok) return sourced;
  const { source, close } = sourced.value;
  const deposit = await reading(() => readDeposit(source));
  if (!deposit.ok) {
    close();
    return deposit;
  }
  return ok({ ...deposit.value, source, close });
}

/** The bag of one record. @throws PackageProblem where it cannot be read at all */
export async function checkRecordBag(
  source: BagSource,
  options: CheckOptions,
): Promise<{ readonly report: CheckReport; readonly bundle: Bundle }> {
  const deposit = await readDeposit(source);
  return {
    report: await check(deposit, source, options),
    bundle: deposit.bundle,
  };
}

async function check(
  { bundle, seal }: Pick<Deposit, 'bundle' | 'seal'>,
  source: BagSource,
  options: CheckOptions,
): Promise<CheckReport> {
  const findings: CheckFinding[] = [];
  const broken = (code: string, place: string): void => {
    findings.push({ severity: 'broken', code, place, sentence: recordSentences[code]?.({}) ?? code });
  };
  for (const fault of await validateBag(source)) broken(fault.code, `the file ${fault.place}`);
  await checkSeal(seal, bundle.departmentKey, source, broken);
  checkObjects(bundle, source, broken);
  const attachments: { sha256: string; data: Uint8Array }[] = [];
  for (const name of source.names) {
    const match = /^data\/attachments\/([0-9a-f]{64})$/.exec(name);
    if (match?.[1] !== undefined) attachments.push({ sha256: match[1], data: await source.read(name) });
  }
  const report = await runCheck(inputFromBundle(bundle, options.pinnedKey ?? null, attachments), options);
  const isWhole = findings.length === 0;
  return {
    ...report,
    isSound: report.isSound && isWhole,
    checked: [{ what: 'files of the deposit', count: source.names.length }, ...report.checked],
    // That this is an excerpt of a trail is what the seal is for.
    findings: [
      ...findings,
      ...report.findings.filter((one) => !isWhole || one.code !== 'excerpt'),
      ...strangeFiles(source),
    ],
    trustworthy:
      isWhole || !report.isSound
        ? report.trustworthy
        : (recordSentences['deposit-entries-good']?.({}) ?? report.trustworthy),
  };
}

/**
 * Does the department's key vouch for exactly this list of files, and do the files for people and other
 * tools say the same as the one this program reads?
 *
 * @returns what the department stated, or null where its signature does not hold
 */
export async function checkSeal(
  seal: Sealed,
  departmentKey: string,
  source: BagSource,
  broken: (code: string, place: string) => void,
): Promise<Checkpoint | null> {
  const place = 'the department’s seal';
  const statement = readObject('checkpoint', seal.bytes);
  const signed = domainBytes('checkpoint', seal.bytes);
  const isGenuine =
    domainHash(recordCrypto, 'checkpoint', seal.bytes) === seal.hash &&
    seal.signature !== null &&
    verifyEd25519(departmentKey, signed, seal.signature);
  if (!statement.ok || !isGenuine || statement.value.purpose !== 'deposit') {
    broken('seal-broken', place);
    return null;
  }
  for (const [name, expected] of [
    ['seal/checkpoint', signed],
    ['seal/checkpoint.sig', Buffer.from(seal.signature ?? '', 'hex')],
    ['seal/department.pem', Buffer.from(pemOf(departmentKey))],
  ] as const) {
    const isSame = source.names.includes(name) && Buffer.compare(await source.read(name), expected) === 0;
    if (!isSame) broken('seal-file-differs', `the file ${name}`);
  }
  if (!source.names.includes('manifest-sha512.txt')) return statement.value;
  if (sha256(await source.read('manifest-sha512.txt')) !== statement.value.manifestHash) {
    broken('seal-of-other-files', place);
  }
  return statement.value;
}

/**
 * Files beside the payload that no deposit of ours has. A bag may carry them (RFC 8493 §2.2.4), and some
 * systems leave their own behind, so they are doubted and break nothing.
 */
export const strangeFiles = (source: BagSource): readonly CheckFinding[] =>
  [
    ...new Set(
      source.names
        .filter((name) => !name.startsWith('data/') && !tagFiles.has(name))
        // A folder is named once: the README has the records of a class unpacked into one.
        .map((name) =>
          /^(?!seal\/)[^/]+\//.exec(name) ? `the folder ${name.split('/')[0]}` : `the file ${name}`,
        ),
    ),
  ]
    .slice(0, mostStrange)
    .map((place) => ({
      severity: 'doubtful',
      code: 'bag-file-strange',
      place: place.slice(0, 100),
      sentence: recordSentences['bag-file-strange']?.({}) ?? '',
    }));
const mostStrange = 20;

/** What stands around the payload. Of these the seal covers the manifest; labels are nobody's word. */
const tagFiles: ReadonlySet<string> = new Set([
  'bagit.txt',
  'bag-info.txt',
  'manifest-sha512.txt',
  'tagmanifest-sha512.txt',
  'seal/checkpoint',
  'seal/checkpoint.sig',
  'seal/checkpoint.json',
  'seal/department.pem',
]);

/** The single files must say what the bundle says: people read the ones, the program the other. */
function checkObjects(
  bundle: Bundle,
  source: BagSource,
  broken: (code: string, place: string) => void,
): void {
  const names = new Set(source.names);
  const lists = [bundle.certificates, bundle.versions, bundle.signatures, bundle.events];
  const missing = lists.flat().find((sealed) => !names.has(`data/objects/${sealed.hash}`));
  if (missing !== undefined) broken('object-file-missing', `data/objects/${missing.hash.slice(0, 12)}…`);
}
