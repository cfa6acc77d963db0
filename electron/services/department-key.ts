import { departmentPerson } from '../../core/record/build.ts';
import { ok } from '../../core/result.ts';
import { changePassphrase, readSealedKey, sealedKeyText } from '../keys/sealed-key.ts';
import { actorOf, type Routes } from './asking.ts';
import { makeKey, passphraseRefusal } from './begin-notebook.ts';
import { keyWords } from './key.ts';
import { addCertificateFor, withdrawKey } from './key-life.ts';
import { readKeyList } from './key-views.ts';
import { unlockWith } from './passphrase-check.ts';
import { currentKey } from './people.ts';
import { refuse } from './program.ts';
import { resealed, sealInUse } from './seal-key.ts';
import { transact } from './transact.ts';

export const departmentKey: Routes<'department.change-passphrase' | 'department.succeed-key'> = {
  'department.change-passphrase': {
    by: 'department',
    writes: true,
    async handle(input, asking) {
      const { program, notebook } = asking;
      const weak = passphraseRefusal(input.new, '', 'new');
      if (weak !== null) return weak;
      const unlocked = await unlockWith(asking, null, asking.person, input.old, {
        action: 'signing.refused',
        evenEnded: true,
      });
      if (!unlocked.ok) return unlocked;
      const found = await currentKey(notebook.db, null);
      const sealed = found === null ? null : readSealedKey(found.key.sealed);
      if (found === null || sealed?.ok !== true) throw new Error('the key just unlocked is gone');
      const again = await changePassphrase(sealed.value, input.old, input.new, program.keyCost);
      if (!again.ok) return refuse('wrong-passphrase', 'old');
      const seal = await sealInUse(notebook.db);
      const sealAgain = seal === null ? null : await resealed(seal, input.old, input.new, program.keyCost);
      return transact(asking, async (posting) => {
        await posting.update('sealed_key', found.key.id, { sealed: sealedKeyText(again.value) });
        if (seal !== null && sealAgain !== null) {
          await posting.update('seal_key', seal.id, { sealed: sealAgain });
        }
        await posting.tell({ action: 'department.change-passphrase', actor: actorOf(asking.person) });
        return ok(await readKeyList(posting.db, program.clock.now()));
      });
    },
  },
  // The new key is certified by the old one, so that whoever knows the first finds the way to the last.
  'department.succeed-key': {
    by: 'department',
    writes: true,
    async handle(input, asking) {
      const { program, notebook } = asking;
      const reason = input.reason.trim();
      if (reason === '') return refuse('reason-missing', 'reason');
      const weak = passphraseRefusal(input.new, '', 'new');
      if (weak !== null) return weak;
      const unlocked = await unlockWith(asking, null, asking.person, input.old, {
        action: 'signing.refused',
        evenEnded: true,
      });
      if (!unlocked.ok) return unlocked;
      const { key: old } = unlocked.value;
      const made = await makeKey(program, departmentPerson, input.new, program.keyCost);
      const seal = await sealInUse(notebook.db);
      const sealAgain = seal === null ? null : await resealed(seal, input.old, input.new, program.keyCost);
      return transact(asking, async (posting) => {
        const current = await currentKey(posting.db, null);
        if (current?.key.public_key !== old.publicKey) return refuse('key-not-in-use', 'key');
        const { department } = await posting.db
          .selectFrom('notebook')
          .select('department')
          .executeTakeFirstOrThrow();
        const at = program.clock.now();
        const of = { person: departmentPerson, printedName: department, role: 'department' } as const;
        await addCertificateFor(posting, { ...of, publicKey: made.publicKey, at }, old);
        await withdrawKey(posting, old.publicKey, { kind: 'retired', since: at, at, reason }, old);
        await posting.insert('sealed_key', {
          id: made.id,
          person_id: null,
          public_key: made.publicKey,
          sealed: made.sealed,
          created_at: at,
          retired_at: null,
        });
        if (seal !== null && sealAgain !== null) {
          await posting.update('seal_key', seal.id, { sealed: sealAgain });
        }
        await posting.tell({
          action: 'department.succeed-key',
          actor: actorOf(asking.person),
          reason,
          changes: [{ path: 'key', old: keyWords(old.publicKey), new: keyWords(made.publicKey) }],
        });
        return ok(await readKeyList(posting.db, at));
      });
    },
  },
};
