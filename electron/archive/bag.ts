import { createHash } from 'node:crypto';
import { fail, ok, type Problem, type Result } from '../../core/result.ts';
import { PackageProblem } from './zip-read.ts';

/** A bag in a folder or in a zip: a list of names, and their content one at a time. */
export interface BagSource {
  /** With `/`, relative to the bag. */
  readonly names: readonly string[];
  readonly read: (name: string) => Promise<Uint8Array>;
  /** Where it is known without reading. */
  readonly sizeOf?: (name: string) => number;
}

export interface BagFault {
  readonly code:
    | 'bag-declaration'
    | 'bag-manifest-missing'
    | 'bag-manifest-line'
    | 'bag-unsafe-path'
    | 'bag-path-twice'
    | 'bag-file-missing'
    | 'bag-file-changed'
    | 'bag-file-not-listed'
    | 'bag-size';
  readonly place: string;
}

/** Algorithms by the name they have in a manifest's file name (RFC 8493 §2.4). */
const algorithms: Readonly<Record<string, string>> = {
  sha512: 'sha512',
  sha256: 'sha256',
  sha224: 'sha224',
  sha384: 'sha384',
  sha1: 'sha1',
  md5: 'md5',
};

/** @throws PackageProblem not-utf8 */
export function decodeText(data: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(data);
  } catch {
    throw new PackageProblem('not-utf8');
  }
}

/** Percent-encoded line ends and percent signs in a manifest's paths (RFC 8493 §2.1.3). */
const decodePath = (path: string): string =>
  path.replace(/%(0A|0D|25)/gi, (_, code: string) => String.fromCharCode(Number.parseInt(code, 16)));

/** A path that stays inside the bag on every system: no way up, no root, no drive, no home. */
export function isSafePath(path: string): boolean {
  if (path === '' || path.includes('\\') || path.includes('\0')) return false;
  if (path.startsWith('/') || path.startsWith('~') || /^[a-zA-Z]:/.test(path)) return false;
  return !path.split('/').some((part) => part === '' || part === '.' || part === '..');
}

interface ManifestEntry {
  readonly hash: string;
  readonly path: string;
}

function readManifest(text: string, name: string, faults: BagFault[]): readonly ManifestEntry[] {
  const entries: ManifestEntry[] = [];
  const seen = new Set<string>();
  for (const line of text.split(/\r\n|\n|\r/)) {
    if (line === '') continue;
    const match = /^([0-9a-fA-F]+)[ \t]+\*?(.+)$/.exec(line);
    if (match === null) {
      faults.push({ code: 'bag-manifest-line', place: name });
      continue;
    }
    const path = decodePath(match[2] ?? '');
    if (!isSafePath(path)) faults.push({ code: 'bag-unsafe-path', place: name });
    else if (seen.has(path)) faults.push({ code: 'bag-path-twice', place: path });
    else entries.push({ hash: (match[1] ?? '').toLowerCase(), path });
    seen.add(path);
  }
  return entries;
}

/**
 * Is this a complete and valid bag (RFC 8493 §3)? Reads BagIt 1.0 only: that is what the program
 * writes, and what it opens.
 *
 * @throws PackageProblem where the source cannot be read
 */
export async function validateBag(source: BagSource): Promise<readonly BagFault[]> {
  const faults: BagFault[] = [];
  const names = new Set(source.names);
  const declaration = names.has('bagit.txt') ? decodeText(await source.read('bagit.txt')) : '';
  if (!/^BagIt-Version: 1\.0(\r\n|\n|\r)Tag-File-Character-Encoding: UTF-8(\r\n|\n|\r)?$/.test(declaration)) {
    faults.push({ code: 'bag-declaration', place: 'bagit.txt' });
  }
  const payload = source.names.filter((name) => name.startsWith('data/'));
  const manifests = source.names.filter((name) => /^manifest-[a-z0-9]+\.txt$/.test(name));
  if (manifests.length === 0) faults.push({ code: 'bag-manifest-missing', place: 'manifest-sha512.txt' });
  for (const manifest of manifests) {
    // Every payload manifest lists every payload file (RFC 8493 §2.1.3).
    const listed = await checkManifest(source, manifest, names, faults, (path) => path.startsWith('data/'));
    for (const name of payload) {
      if (!listed.has(name)) faults.push({ code: 'bag-file-not-listed', place: name });
    }
  }
  for (const manifest of source.names.filter((name) => /^tagmanifest-[a-z0-9]+\.txt$/.test(name))) {
    const isTag = (path: string): boolean => !path.startsWith('data/') && !path.startsWith('tagmanifest-');
    await checkManifest(source, manifest, names, faults, isTag);
  }
  if (names.has('bag-info.txt')) await checkOxum(source, payload, faults);
  return faults;
}

async function checkManifest(
  source: BagSource,
  manifest: string,
  names: ReadonlySet<string>,
  faults: BagFault[],
  belongs: (path: string) => boolean,
): Promise<ReadonlySet<string>> {
  const algorithm = algorithms[/-([a-z0-9]+)\.txt$/.exec(manifest)?.[1] ?? ''];
  if (algorithm === undefined) {
    faults.push({ code: 'bag-manifest-line', place: manifest });
    return new Set();
  }
  const entries = readManifest(decodeText(await source.read(manifest)), manifest, faults);
  for (const { hash, path } of entries) {
    if (!belongs(path)) faults.push({ code: 'bag-unsafe-path', place: manifest });
    else if (!names.has(path)) faults.push({ code: 'bag-file-missing', place: path });
    else if (
      createHash(algorithm)
        .update(await source.read(path))
        .digest('hex') !== hash
    ) {
      faults.push({ code: 'bag-file-changed', place: path });
    }
  }
  return new Set(entries.map((entry) => entry.path));
}

/** Payload-Oxum: octets and number of files, a quick test for what is missing (RFC 8493 §2.2.2). */
async function checkOxum(source: BagSource, payload: readonly string[], faults: BagFault[]): Promise<void> {
  const stated = /^Payload-Oxum:[ \t]*(\d+)\.(\d+)[ \t]*$/im.exec(
    decodeText(await source.read('bag-info.txt')),
  );
  if (stated === null) return;
  let bytes = 0;
  for (const name of payload) bytes += source.sizeOf?.(name) ?? (await source.read(name)).length;
  if (bytes !== Number(stated[1]) || payload.length !== Number(stated[2])) {
    faults.push({ code: 'bag-size', place: 'bag-info.txt' });
  }
}

/** Runs something that reads a source; what is wrong with the package becomes a value. */
export async function reading<T>(act: () => Promise<T>): Promise<Result<T, Problem>> {
  try {
    return ok(await act());
  } catch (error) {
    if (error instanceof PackageProblem) return fail(error.problem);
    throw error;
  }
}
