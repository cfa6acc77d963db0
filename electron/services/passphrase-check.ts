import type { Refusal } from '../../core/contract/contract.ts';
import type { PersonView } from '../../core/contract/views.ts';
import { departmentPerson } from '../../core/record/build.ts';
import { remainingWaitSeconds, retryWaitSeconds } from '../../core/record/retry.ts';
import type { AuditEvent } from '../../core/record/objects.ts';
import { dateText } from '../../core/record/when.ts';
import { fail, ok, type Result } from '../../core/result.ts';
import { readSealedKey, unlockKey, type UnlockedKey } from '../keys/sealed-key.ts';
import { actorOf, type Asking } from './asking.ts';
import { currentKey, type Reading } from './people.ts';
import { refuse } from './program.ts';
import { transact } from './transact.ts';

type SecretCode = 'wrong-passphrase' | 'wait-before-retry';

/** A key unlocked for the one thing that was asked, with the certificate that vouches for it. */
export interface CheckedKey {
  readonly key: UnlockedKey;
  readonly certificate: { readonly hash: string; readonly serial: number; readonly not_after: string };
}

/** What a wrong passphrase was given for, as the trail tells it. */
export interface Purpose {
  readonly action: 'session.refused' | 'signing.refused';
  readonly entry?: { readonly recordId: string; readonly id: string };
  /** What is asked for can be done with a key whose certificate has ended. */
  readonly evenEnded?: boolean;
}

const right = [
  'session.open',
  'entry.sign',
  'entry.return',
  'entry.countersign',
  'person.change-passphrase',
  'record.hand-in',
  'record.deposit',
  'person.add',
  'key.certify',
  'key.replace',
  'key.retire',
  'key.compromised',
  'department.change-passphrase',
  'seal.make',
  'seal.retire',
];
const wrong = ['session.refused', 'signing.refused'];

/**
 * Asks a person's passphrase: unlocks their key, or writes into the trail that it was refused. Each
 * person's tries are taken one after the other, and wrong ones have to wait longer and longer; the
 * count is read from the trail, so a restart does not forget it.
 *
 * @param person whose key; null for the department's own, in which case `actor` asks
 */
export async function unlockWith(
  asking: Asking,
  person: PersonView | null,
  actor: PersonView | null,
  passphrase: string,
  purpose: Purpose,
): Promise<Result<CheckedKey, Refusal<SecretCode>>> {
  const { program, notebook } = asking;
  return program.turns.take(`passphrase:${person?.id ?? departmentPerson}`, async () => {
    const found = await currentKey(notebook.db, person?.id ?? null);
    if (found === null) return refuse('not-allowed', 'personId', { reason: 'no-key-in-use' });
    const until = found.certificate.not_after;
    const isToSign = purpose.action === 'signing.refused' && purpose.evenEnded !== true;
    if (isToSign && program.clock.now() > until) {
      return refuse('not-allowed', 'passphrase', {
        reason: 'certificate-ended',
        until: dateText(until.slice(0, 10)),
      });
    }
    const who = person ?? actor;
    const tries = who === null ? { failures: 0, lastAt: null } : await triesOf(notebook.db, who.id);
    const sureSeconds =
      who === null || tries.lastAt === null
        ? 0
        : program.refusedTries.secondsKnown(who.id, tries.lastAt, program.clock);
    const seconds = remainingWaitSeconds(tries.failures, tries.lastAt, program.clock.now(), sureSeconds);
    if (seconds > 0) return refuse('wait-before-retry', 'passphrase', { seconds });

    const sealed = readSealedKey(found.key.sealed);
    if (!sealed.ok) throw new Error(`a sealed key cannot be read: ${sealed.error.code}`);
    const unlocked = await unlockKey(sealed.value, passphrase);
    if (unlocked.ok) return ok({ key: unlocked.value, certificate: found.certificate });
    if (unlocked.error.code !== 'wrong-passphrase') {
      throw new Error(`a sealed key cannot be opened: ${unlocked.error.code}`);
    }
    if (notebook.readOnly === null) {
      await tellRefused(asking, who === null ? null : actorOf(who), purpose);
    }
    return fail({
      code: 'wrong-passphrase' as const,
      where: 'passphrase',
      facts: { seconds: retryWaitSeconds(tries.failures + 1) },
    });
  });
}

function tellRefused(asking: Asking, actor: AuditEvent['actor'], purpose: Purpose): Promise<unknown> {
  return transact(asking, async (posting) => {
    await posting.tell({
      action: purpose.action,
      actor,
      ...(purpose.entry === undefined ? {} : { record: purpose.entry.recordId, entry: purpose.entry.id }),
    });
    return ok(null);
  });
}

/** Wrong passphrases since the last right one. */
async function triesOf(
  db: Reading,
  personId: string,
): Promise<{ readonly failures: number; readonly lastAt: string | null }> {
  // Sixteen are enough: from the thirteenth on the wait is the longest there is.
  const rows = await db
    .selectFrom('event')
    .select(['action', 'at'])
    .where('person_id', '=', personId)
    .where('action', 'in', [...right, ...wrong])
    .orderBy('seq', 'desc')
    .limit(16)
    .execute();
  const firstRight = rows.findIndex((row) => right.includes(row.action));
  const failures = rows.slice(0, firstRight === -1 ? rows.length : firstRight);
  return { failures: failures.length, lastAt: failures[0]?.at ?? null };
}
