import { changePassphrase, readSealedKey, sealedKeyText } from '../keys/sealed-key.ts';
import { ok } from '../../core/result.ts';
import { actorOf, type Routes } from './asking.ts';
import { makeKey, passphraseRefusal, storePerson } from './begin-notebook.ts';
import { nextSerial } from './key-life.ts';
import { unlockWith } from './passphrase-check.ts';
import { currentKey, readPeople } from './people.ts';
import { refuse } from './program.ts';
import { transact } from './transact.ts';

export const person: Routes<'person.list' | 'person.add' | 'person.change-passphrase'> = {
  'person.list': {
    by: 'signed-in',
    writes: false,
    handle: async (_, { notebook }) => ok({ people: [...(await readPeople(notebook.db)).values()] }),
  },
  'person.add': {
    by: 'department',
    writes: true,
    async handle(input, asking) {
      const { program } = asking;
      const weak = passphraseRefusal(input.passphrase, input.printedName, 'passphrase');
      if (weak !== null) return weak;
      const unlocked = await unlockWith(asking, null, asking.person, input.departmentPassphrase, {
        action: 'signing.refused',
      });
      if (!unlocked.ok) return unlocked;
      const { key: department } = unlocked.value;
      const id = program.newId();
      const key = await makeKey(program, id, input.passphrase, program.keyCost);
      return transact(asking, async (posting) => {
        const names = await posting.db.selectFrom('person').select('printed_name').execute();
        if (names.some((row) => row.printed_name === input.printedName)) {
          return refuse('name-taken', 'printedName', { printedName: input.printedName });
        }
        const added = await storePerson(posting, program, {
          id,
          person: input,
          key,
          serial: await nextSerial(posting.db),
          issuer: department.publicKey,
          certify: department.sign,
        });
        await posting.tell({
          action: 'person.add',
          actor: actorOf(asking.person),
          changes: [{ path: 'person', old: '', new: `${added.printedName}, ${added.role}` }],
        });
        return ok(added);
      });
    },
  },
  'person.change-passphrase': {
    by: 'signed-in',
    writes: true,
    async handle(input, asking) {
      const { program, notebook, person: asker } = asking;
      const weak = passphraseRefusal(input.new, asker.printedName, 'new');
      if (weak !== null) return weak;
      const unlocked = await unlockWith(asking, asker, null, input.old, {
        action: 'signing.refused',
        evenEnded: true,
      });
      if (!unlocked.ok) return unlocked;
      const found = await currentKey(notebook.db, asker.id);
      const sealed = found === null ? null : readSealedKey(found.key.sealed);
      if (found === null || sealed?.ok !== true) throw new Error('the key just unlocked is gone');
      const again = await changePassphrase(sealed.value, input.old, input.new, program.keyCost);
      if (!again.ok) return refuse('wrong-passphrase', 'old');
      return transact(asking, async (posting) => {
        await posting.update('sealed_key', found.key.id, { sealed: sealedKeyText(again.value) });
        await posting.tell({ action: 'person.change-passphrase', actor: actorOf(asker) });
        return ok(asker);
      });
    },
  },
};
