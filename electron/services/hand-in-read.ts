import type { Refusal } from '../../core/contract/contract.ts';
import type { CheckReport, PersonView } from '../../core/contract/views.ts';
import { readObject } from '../../core/record/read-object.ts';
import { ok, type Result } from '../../core/result.ts';
import { checkHandIn, readHandIn, type HandIn } from '../archive/hand-in.ts';
import { sha256 } from '../keys/crypto.ts';
import type { Reading } from './people.ts';
import { refuse } from './program.ts';

export interface ReadHandIn {
  readonly handIn: HandIn;
  readonly report: CheckReport;
  /** SHA-256 of the file. */
  readonly hash: string;
}

/**
 * Reads and checks a hand-in against this notebook's own department. A student takes in what concerns
 * their own work; the others, anything.
 *
 * @param data the file, base64
 */
export async function checkedHandIn(
  db: Reading,
  data: string,
  person: PersonView,
): Promise<Result<ReadHandIn, Refusal<'hand-in-unreadable'>>> {
  const bytes = new Uint8Array(Buffer.from(data, 'base64'));
  const read = await readHandIn(bytes);
  if (!read.ok) return refuse('hand-in-unreadable', 'data', { ...read.error.facts, reason: read.error.code });
  const isOwn = read.value.bundle.versions.every(({ bytes: text }) => {
    const version = readObject('version', text);
    return version.ok && version.value.author.person === person.id;
  });
  if (person.role === 'student' && !isOwn) return refuse('not-allowed', 'data');
  const notebook = await db.selectFrom('notebook').select('department_key').executeTakeFirstOrThrow();
  const report = await checkHandIn(
    { ...read.value, bundle: await withNotices(db, read.value.bundle) },
    { pinnedKey: notebook.department_key },
  );
  return ok({ handIn: read.value, report, hash: sha256(bytes) });
}

/** The sender's notebook may not know yet that a key was withdrawn; this one does. */
async function withNotices(db: Reading, bundle: HandIn['bundle']): Promise<HandIn['bundle']> {
  const there = new Set(bundle.revocations.map((one) => one.hash));
  const rows = await db.selectFrom('revocation').select(['hash', 'bytes', 'signature']).execute();
  return { ...bundle, revocations: [...bundle.revocations, ...rows.filter((row) => !there.has(row.hash))] };
}
