import { computeEntry } from '../../core/entry/compute-entry.ts';
import { snapshot } from '../../core/entry/snapshot.ts';
import { sealVersion } from '../../core/record/build.ts';
import type { EntryContent } from '../../core/record/content.ts';
import { authorMeaning } from '../../core/record/life.ts';
import type { ComputedSnapshot, Sealed, SignaturePayload } from '../../core/record/objects.ts';
import type { Problem } from '../../core/result.ts';
import { versionReason } from '../../core/record/version-reason.ts';
import { recordCrypto } from '../keys/crypto.ts';
import type { LoadedEntry } from './entry-load.ts';

/** The version that signing the draft would make. It holds no time, so it is the same when asked again. */
export interface NextVersion {
  readonly n: number;
  readonly meaning: 'performed' | 'amended';
  readonly sealed: Sealed;
  readonly computed: ComputedSnapshot;
  readonly doubts: readonly Problem[];
  readonly reason: string;
}

export function nextVersion(loaded: LoadedEntry, content: EntryContent, programName: string): NextVersion {
  const { entry, record, owner, versions, signatures } = loaded;
  const last = versions.at(-1);
  const n = (last?.n ?? 0) + 1;
  const wasEverCountersigned = signatures.some((one) => one.meaning === 'countersigned');
  const returned = signatures.filter((one) => one.meaning === 'returned').at(-1);
  const reason = versionReason(entry.state, wasEverCountersigned, {
    amendmentReason: entry.amendment_reason,
    returnRemark: returned === undefined ? '' : (JSON.parse(returned.bytes) as SignaturePayload).remark,
  });
  const computation = computeEntry(content);
  const computed = snapshot(computation);
  const sealed = sealVersion(recordCrypto, {
    record: record.id,
    entry: entry.id,
    n,
    previousVersion: last?.hash ?? null,
    content,
    computed,
    author: { person: owner.id, printedName: owner.printedName },
    heading: { recordTitle: record.title, course: record.course, number: entry.number },
    reason,
    program: programName,
  });
  return {
    n,
    meaning: authorMeaning(entry.state, wasEverCountersigned),
    sealed,
    computed,
    doubts: computation.doubts,
    reason,
  };
}
