import type { Refusal } from '../../core/contract/contract.ts';
import type { KeyListView } from '../../core/contract/views.ts';
import { fingerprint } from '../../core/record/fingerprint.ts';
import { domainHash } from '../../core/record/domain.ts';
import { ok, type Result } from '../../core/result.ts';
import { recordCrypto } from '../keys/crypto.ts';
import { actorOf, type Routes } from './asking.ts';
import { makeKey, passphraseRefusal } from './begin-notebook.ts';
import { addCertificateFor, holderOf, withdrawKey } from './key-life.ts';
import { readKeyList } from './key-views.ts';
import { unlockWith } from './passphrase-check.ts';
import { currentKey, personById, type Reading } from './people.ts';
import { refuse } from './program.ts';
import { transact } from './transact.ts';

export const key: Routes<'key.list' | 'key.retire' | 'key.replace' | 'key.extend'> = {
  'key.list': {
    by: 'signed-in',
    writes: false,
    async handle(_, { notebook, program, person }) {
      const list = await readKeyList(notebook.db, program.clock.now());
      return ok(person.role === 'department' ? list : withoutReasons(list, person.id));
    },
  },
  'key.retire': {
    by: 'department',
    writes: true,
    async handle(input, asking) {
      const { program, notebook } = asking;
      const reason = input.reason.trim();
      if (reason === '') return refuse('reason-missing', 'reason');
      const at = program.clock.now();
      const since = input.kind === 'compromised' ? input.since : at;
      if (since === null || since > at) return refuse('since-not-past', 'since');
      const allowed = await mayWithdraw(notebook.db, input.key, input.kind);
      if (!allowed.ok) return allowed;
      const unlocked = await unlockWith(asking, null, asking.person, input.departmentPassphrase, {
        action: 'signing.refused',
      });
      if (!unlocked.ok) return unlocked;
      const done = await transact(asking, async (posting) => {
        const still = await mayWithdraw(posting.db, input.key, input.kind);
        if (!still.ok) return still;
        const person = await personById(posting.db, still.value);
        if (person === null) return refuse('not-found', 'key');
        await withdrawKey(posting, input.key, { kind: input.kind, since, at, reason }, unlocked.value.key);
        await posting.tell({
          action: input.kind === 'retired' ? 'key.retire' : 'key.compromised',
          actor: actorOf(asking.person),
          reason,
          changes: [
            { path: 'key', old: `${keyWords(input.key)}, of ${person.printedName}`, new: '' },
            ...(input.kind === 'compromised' ? [{ path: 'since', old: '', new: since }] : []),
          ],
        });
        return ok({ person: person.id, list: await readKeyList(posting.db, at) });
      });
      if (!done.ok) return done;
      program.sessions.closeAllOf(done.value.person);
      return ok(done.value.list);
    },
  },
  'key.replace': {
    by: 'department',
    writes: true,
    async handle(input, asking) {
      const { program, notebook } = asking;
      const reason = input.reason.trim();
      if (reason === '') return refuse('reason-missing', 'reason');
      const person = await personById(notebook.db, input.personId);
      if (person === null) return refuse('not-found', 'personId');
      const weak = passphraseRefusal(input.passphrase, person.printedName, 'passphrase');
      if (weak !== null) return weak;
      const unlocked = await unlockWith(asking, null, asking.person, input.departmentPassphrase, {
        action: 'signing.refused',
      });
      if (!unlocked.ok) return unlocked;
      const made = await makeKey(program, person.id, input.passphrase, program.keyCost);
      const done = await transact(asking, async (posting) => {
        const at = program.clock.now();
        const former = await currentKey(posting.db, person.id);
        if (former !== null) {
          const notice = { kind: 'retired', since: at, at, reason } as const;
          await withdrawKey(posting, former.key.public_key, notice, unlocked.value.key);
        }
        await posting.insert('sealed_key', {
          id: made.id,
          person_id: person.id,
          public_key: made.publicKey,
          sealed: made.sealed,
          created_at: at,
          retired_at: null,
        });
        const of = { ...actorOf(person), publicKey: made.publicKey, at };
        await addCertificateFor(posting, of, unlocked.value.key);
        await posting.tell({
          action: 'key.replace',
          actor: actorOf(asking.person),
          reason,
          changes: [
            { path: 'person', old: person.printedName, new: person.printedName },
            {
              path: 'key',
              old: former === null ? '' : keyWords(former.key.public_key),
              new: keyWords(made.publicKey),
            },
          ],
        });
        return ok(await readKeyList(posting.db, at));
      });
      program.sessions.closeAllOf(person.id);
      return done;
    },
  },
  'key.extend': {
    by: 'department',
    writes: true,
    async handle(input, asking) {
      const { notebook } = asking;
      const there = await inUse(notebook.db, input.key);
      if (there === null) return refuse('key-not-in-use', 'key');
      const unlocked = await unlockWith(asking, null, asking.person, input.departmentPassphrase, {
        action: 'signing.refused',
        // Its own certificate is renewed with it, also after it ended.
        evenEnded: true,
      });
      if (!unlocked.ok) return unlocked;
      return transact(asking, async (posting) => {
        const of = await inUse(posting.db, input.key);
        if (of === null) return refuse('key-not-in-use', 'key');
        const at = asking.program.clock.now();
        const certificate = await addCertificateFor(
          posting,
          { ...of, publicKey: input.key, at },
          unlocked.value.key,
        );
        await posting.tell({
          action: 'key.certify',
          actor: actorOf(asking.person),
          changes: [
            {
              path: 'certificate',
              old: `${keyWords(input.key)}, of ${of.printedName}`,
              new: `certificate ${certificate.serial}, until ${certificate.notAfter.slice(0, 10)}`,
            },
          ],
        });
        return ok(await readKeyList(posting.db, at));
      });
    },
  },
};

/** How the trail names a key: the fingerprint that is printed and compared. */
export const keyWords = (publicKey: string): string =>
  `key ${fingerprint(domainHash(recordCrypto, 'key', publicKey))}`;

/** Why somebody else's key was withdrawn is between them and the department. */
function withoutReasons(list: KeyListView, ownId: string): KeyListView {
  return {
    ...list,
    people: list.people.map((one) =>
      one.person.id === ownId ? one : { ...one, keys: one.keys.map((view) => ({ ...view, reason: '' })) },
    ),
  };
}

/**
 * Whose key it is, if it can be withdrawn so: a key in use, or for wrong hands also one retired before.
 * The department’s own cannot be: whoever has it in wrong hands could certify on.
 */
async function mayWithdraw(
  db: Reading,
  publicKey: string,
  kind: 'retired' | 'compromised',
): Promise<Result<string, Refusal<'key-not-in-use' | 'last-of-department'>>> {
  const holder = await holderOf(db, publicKey);
  if (holder === null || holder.isDepartments) return refuse('not-found', 'key');
  const isDone = kind === 'retired' ? holder.kinds.size > 0 : holder.kinds.has('compromised');
  if (isDone) return refuse('key-not-in-use', 'key');
  const isLast = await isLastOfDepartment(db, holder.person, publicKey);
  return isLast ? refuse('last-of-department', 'key') : ok(holder.person);
}

/** Somebody must be left who can sign in for the department. */
async function isLastOfDepartment(db: Reading, personId: string, publicKey: string): Promise<boolean> {
  const people = await db.selectFrom('person').select('id').where('role', '=', 'department').execute();
  if (!people.some((person) => person.id === personId)) return false;
  if ((await currentKey(db, personId))?.key.public_key !== publicKey) return false;
  for (const { id } of people) {
    if (id !== personId && (await currentKey(db, id)) !== null) return false;
  }
  return true;
}

/** The holder of a key in use, as certificates name them; null for a key that is not in use here. */
async function inUse(
  db: Reading,
  publicKey: string,
): Promise<Pick<Parameters<typeof addCertificateFor>[1], 'person' | 'printedName' | 'role'> | null> {
  const holder = await holderOf(db, publicKey);
  if (holder === null) return null;
  const current = await currentKey(db, holder.isDepartments ? null : holder.person);
  if (current?.key.public_key !== publicKey) return null;
  if (holder.isDepartments) {
    const { department } = await db.selectFrom('notebook').select('department').executeTakeFirstOrThrow();
    return { person: holder.person, printedName: department, role: 'department' };
  }
  const person = await personById(db, holder.person);
  return person === null ? null : actorOf(person);
}
