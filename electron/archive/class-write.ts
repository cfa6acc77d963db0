import { keyFingerprint } from '../../core/record/fingerprint.ts';
import type { Checkpoint, Sealed } from '../../core/record/objects.ts';
import { recordCrypto } from '../keys/crypto.ts';
import { classListName, classListText, classTable, classTableName, type ClassLine } from './class-list.ts';
import type { ClassList } from './class-list.ts';
import type { Sending } from './hand-in.ts';
import { classReadme } from './readme.ts';
import { Manifest, sealFiles, tagValue, type SealingKey } from './seal-bag.ts';
import type { ArchiveFile, LongFile } from './zip-write.ts';

/** A record of the class, packed already: a zipped bag that stands on the disk. */
export interface PackedRecord {
  readonly line: ClassLine;
  readonly from: string;
  readonly sizeBytes: number;
  readonly entries: Checkpoint['entries'];
}

export interface ClassSource {
  readonly about: Omit<ClassList, 'type' | 'format' | 'records'>;
  /** One after the other; each is on the disk until the next one is asked for. */
  readonly records: AsyncIterable<PackedRecord>;
}

const encoder = new TextEncoder();

/**
 * A whole class as one BagIt bag (RFC 8493): its payload is one zipped bag for each record, which is
 * whole by itself and can be taken out and given away, and a list of them. The department's seal over
 * the outer list says that these records were deposited together and none was left out since.
 */
export async function* classFiles(
  source: ClassSource,
  sending: Sending,
  sign: SealingKey,
): AsyncGenerator<ArchiveFile | LongFile, { readonly checkpoint: Sealed }> {
  const { about } = source;
  const manifest = new Manifest();
  const lines: ClassLine[] = [];
  const entries: Checkpoint['entries'][number][] = [];
  for await (const { line, from, sizeBytes, entries: newest } of source.records) {
    const file: LongFile = { path: `data/${line.file}`, from, sizeBytes };
    await manifest.add(file);
    yield file;
    lines.push(line);
    entries.push(...newest);
  }
  const list: ClassList = { type: 'class', format: 1, ...about, records: lines };
  const readme = classReadme({
    count: lines.length,
    institution: tagValue(about.institution),
    department: tagValue(about.department),
    fingerprint: keyFingerprint(recordCrypto, about.departmentKey),
    depositedAt: about.depositedAt,
  });
  for (const [path, text] of [
    ['data/README.txt', readme],
    [classTableName, classTable(list)],
    [classListName, classListText(list)],
  ] as const) {
    const file: ArchiveFile = { path, data: encoder.encode(text) };
    await manifest.add(file);
    yield file;
  }
  return yield* sealFiles(
    manifest,
    {
      organisation: `${about.department}, ${about.institution}`,
      description: `${lines.length} practical records deposited together`,
      identifier: `${about.notebook}/${about.depositedAt}`,
    },
    { ...sending, entries },
    about.departmentKey,
    sign,
  );
}
