import { DatabaseError } from './database-message.ts';

/** Why a notebook cannot be opened or written: one reason each, worded in `core/wording/services.ts`. */
export const storageReasons = [
  'disk-full',
  'read-only',
  'held-elsewhere',
  'newer-version',
  'not-a-notebook',
  'file-missing',
  'file-replaced',
  'folder-missing',
  'busy',
  'damaged',
  'check-failed',
  'unreadable',
] as const;
export type StorageReason = (typeof storageReasons)[number];

export interface StorageProblem {
  readonly reason: StorageReason;
  readonly facts: Readonly<Record<string, string | number>>;
}

const byCode: readonly (readonly [RegExp, StorageReason])[] = [
  [/^(SQLITE_FULL|ENOSPC|EDQUOT)/, 'disk-full'],
  [/^(SQLITE_READONLY|EROFS|EACCES|EPERM|SQLITE_PERM|SQLITE_AUTH)/, 'read-only'],
  [/^(SQLITE_BUSY|SQLITE_LOCKED)/, 'busy'],
  [/^(SQLITE_NOTADB)/, 'not-a-notebook'],
  [/^(SQLITE_CORRUPT)/, 'damaged'],
  // A link that leads to itself, and a name no file can have, lead to no file either.
  [/^(ENOENT|ELOOP|ENAMETOOLONG)/, 'file-missing'],
  [/^ENOTDIR/, 'folder-missing'],
  [/^(SQLITE_IOERR|SQLITE_CANTOPEN|EIO|EISDIR|ENXIO|ENODEV|thread-ended)/, 'unreadable'],
];

/** What a failure of the database or the file system means to a person; null for a bug of ours. */
export function storageProblem(error: unknown): StorageProblem | null {
  const code = (error as { readonly code?: unknown } | null)?.code;
  if (typeof code !== 'string') return null;
  const facts = error instanceof DatabaseError ? error.facts : {};
  const own = storageReasons.find((reason) => reason === code);
  if (own !== undefined) return { reason: own, facts };
  const found = byCode.find(([pattern]) => pattern.test(code));
  return found === undefined ? null : { reason: found[1], facts };
}
