import { ok } from '../../core/result.ts';
import { changePassphrase, readSealedKey, sealedKeyText } from '../keys/sealed-key.ts';
import { actorOf, type Routes } from './asking.ts';
import { passphraseRefusal } from './begin-notebook.ts';
import { readKeyList } from './key-views.ts';
import { unlockWith } from './passphrase-check.ts';
import { currentKey } from './people.ts';
import { refuse } from './program.ts';
import { resealed, sealInUse } from './seal-key.ts';
import { transact } from './transact.ts';

export const departmentKey: Routes<'department.change-passphrase'> = {
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
};
