import { lstat, readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { CheckFinding, CheckReport } from '../../core/contract/views.ts';
import { bundleFileName, inputFromBundle, readBundle, type Bundle } from '../../core/record/bundle.ts';
import { readCanonical } from '../../core/record/canonical.ts';
import { domainBytes, domainHash } from '../../core/record/domain.ts';
import type { Sealed } from '../../core/record/objects.ts';
import { readObject } from '../../core/record/read-object.ts';
import { hash, matching, object, text } from '../../core/record/shape.ts';
import { ok, type Problem, type Result } from '../../core/result.ts';
import { recordSentences } from '../../core/wording/record.ts';
import { runCheck, type CheckOptions } from '../check/run-check.ts';
import { recordCrypto, sha256, verifyEd25519 } from '../keys/crypto.ts';
import { decodeText, isSafePath, reading, validateBag, type BagSource } from './bag.ts';
import { openPackage, PackageProblem, zipLimits } from './zip-read.ts';

/** A bag in a folder. Links are refused: they could lead anywhere. */
export async function folderSource(folder: string): Promise<BagSource> {
  const names: string[] = [];
  const pending = [''];
  let total = 0;
  for (let at = pending.pop(); at !== undefined; at = pending.pop()) {
    for (const item of await readdir(join(folder, at))) {
      const name = at === '' ? item : `${at}/${item}`;
      const status = await lstat(join(folder, name));
      if (status.isDirectory()) pending.push(name);
      else if (!status.isFile()) throw new PackageProblem('package-link', { name: name.slice(0, 80) });
      else names.push(name);
      total += status.isFile() ? status.size : 0;
      if (names.length > zipLimits.entries) {
        throw new PackageProblem('package-too-many-files', { count: names.length, most: zipLimits.entries });
      }
      if (status.size > zipLimits.entryBytes || total > zipLimits.totalBytes) {
        throw new PackageProblem('package-too-large', { name: name.slice(0, 80) });
      }
    }
  }
  return { names: names.sort(), read: async (name) => readFile(join(folder, name)) };
}

const sealedShape = object({ bytes: text(1_000_000), hash, signature: matching(/^[0-9a-f]{128}$/) });

/** What a deposit holds, for reading it in the program. */
export interface Deposit {
  readonly bundle: Bundle;
  readonly seal: Sealed;
  readonly documents: readonly string[];
}

async function open(source: BagSource): Promise<Deposit> {
  const need = async (name: string): Promise<Uint8Array> => {
    if (!source.names.includes(name)) throw new PackageProblem('package-incomplete', { name });
    return source.read(name);
  };
  const seal = readCanonical(decodeText(await need('seal/checkpoint.json')), { maxLength: 2_000_000 });
  if (!seal.ok) throw new PackageProblem(seal.error.code, seal.error.facts);
  if (sealedShape(seal.value, '') !== null) throw new PackageProblem('wrong-shape', { kind: 'deposit' });
  const bundle = readBundle(decodeText(await need(`data/${bundleFileName}`)));
  if (!bundle.ok) throw new PackageProblem(bundle.error.code, bundle.error.facts);
  return {
    bundle: bundle.value,
    seal: seal.value as Sealed,
    documents: source.names.filter((name) => /^data\/[^/]+\.pdf$/.test(name)),
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
  const sourced = await sourceOf(path);
  if (!sourced.ok) return sourced;
  const { source, close } = sourced.value;
  const deposit = await reading(() => open(source));
  if (!deposit.ok) {
    close();
    return deposit;
  }
  return ok({ ...deposit.value, source, close });
}

async function sourceOf(
  path: string,
): Promise<Result<{ readonly source: BagSource; readonly close: () => void }, Problem>> {
  const status = await lstat(path);
  if (status.isDirectory()) {
    const source = await reading(() => folderSource(path));
    return source.ok ? ok({ source: source.value, close: () => undefined }) : source;
  }
  const opened = await openPackage(path, isSafePath);
  if (!opened.ok) return opened;
  const { close } = opened.value;
  const source = await reading(() => Promise.resolve(insideFolder(opened.value)));
  if (!source.ok) close();
  return source.ok ? ok({ source: source.value, close }) : source;
}

/** A zipped bag stands in one folder named like the bag (RFC 8493 §4). */
function insideFolder(source: BagSource): BagSource {
  const folder = `${source.names[0]?.split('/')[0] ?? ''}/`;
  if (!source.names.every((name) => name.startsWith(folder))) {
    throw new PackageProblem('package-incomplete', { name: 'bagit.txt' });
  }
  return {
    names: source.names.map((name) => name.slice(folder.length)),
    read: (name) => source.read(folder + name),
  };
}

/**
 * Checks a deposit: the bag (every file as listed), the department's seal over the list, and then the
 * signed entries themselves. Changes nothing.
 *
 * @error what keeps it from being opened at all
 */
export async function checkDeposit(
  path: string,
  options: CheckOptions = {},
): Promise<Result<CheckReport, Problem>> {
  const opened = await openDeposit(path);
  if (!opened.ok) return opened;
  const { bundle, seal, source, close } = opened.value;
  try {
    return await reading(() => check({ bundle, seal }, source, options));
  } finally {
    close();
  }
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
  await checkSeal(seal, bundle, source, broken);
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
    findings: [...findings, ...report.findings.filter((one) => !isWhole || one.code !== 'excerpt')],
    trustworthy:
      isWhole || !report.isSound
        ? report.trustworthy
        : (recordSentences['deposit-entries-good']?.({}) ?? report.trustworthy),
  };
}

async function checkSeal(
  seal: Sealed,
  bundle: Bundle,
  source: BagSource,
  broken: (code: string, place: string) => void,
): Promise<void> {
  const place = 'the department’s seal';
  const statement = readObject('checkpoint', seal.bytes);
  const signed = domainBytes('checkpoint', seal.bytes);
  const isGenuine =
    domainHash(recordCrypto, 'checkpoint', seal.bytes) === seal.hash &&
    seal.signature !== null &&
    verifyEd25519(bundle.departmentKey, signed, seal.signature);
  if (!statement.ok || !isGenuine || statement.value.purpose !== 'deposit') {
    broken('seal-broken', place);
    return;
  }
  if (!source.names.includes('manifest-sha512.txt')) return;
  if (sha256(await source.read('manifest-sha512.txt')) !== statement.value.manifestHash) {
    broken('seal-of-other-files', place);
  }
}

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
