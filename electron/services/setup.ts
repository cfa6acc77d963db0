import type { SetupView } from '../../core/contract/views.ts';
import { ok, type Result } from '../../core/result.ts';
import { networkDriveSentence, storageSentence } from '../../core/wording/services.ts';
import { isOnNetworkDrive } from '../storage/network-drive.ts';
import type { Asking, Routes } from './asking.ts';
import { beginNotebook, passphraseRefusal } from './begin-notebook.ts';
import { makeDemo } from './demo/make-demo.ts';
import { demoPassphrase } from './demo/people.ts';
import { peopleWithKey, readPeople } from './people.ts';
import { refuse } from './program.ts';

export const setup: Routes<'setup.state' | 'setup.demo' | 'setup.begin'> = {
  'setup.state': {
    by: 'anyone',
    writes: false,
    handle: async (_, asking) => ok(await readSetup(asking)),
  },
  'setup.demo': {
    by: 'anyone',
    writes: true,
    handle: (_, asking) =>
      asking.program.turns.take(
        'setup',
        async (): Promise<Result<SetupView, ReturnType<typeof refuse<'not-empty'>>['error']>> => {
          if (!(await isEmpty(asking))) return refuse('not-empty');
          await makeDemo(asking);
          return ok(await readSetup(asking));
        },
      ),
  },
  'setup.begin': {
    by: 'anyone',
    writes: true,
    handle: (input, asking) =>
      asking.program.turns.take('setup', async () => {
        if (!(await isEmpty(asking))) return refuse('not-empty');
        const names = [input.department, ...input.people.map((person) => person.printedName)];
        const taken = names.find((name, index) => index > 0 && names.indexOf(name, 1) !== index);
        if (taken !== undefined) return refuse('name-taken', 'people', { printedName: taken });
        const weak =
          passphraseRefusal(input.passphrase, input.department, 'passphrase') ??
          input.people
            .map((person, index) =>
              passphraseRefusal(person.passphrase, person.printedName, `people.${index}.passphrase`),
            )
            .find((problem) => problem !== null);
        if (weak !== undefined && weak !== null) return weak;
        await beginNotebook(asking, { ...input, isDemo: false });
        return ok(await readSetup(asking));
      }),
  },
};

async function isEmpty(asking: Asking): Promise<boolean> {
  const row = await asking.notebook.db.selectFrom('notebook').select('id').executeTakeFirst();
  return row === undefined;
}

async function readSetup({ notebook }: Asking): Promise<SetupView> {
  const row = await notebook.db.selectFrom('notebook').selectAll().executeTakeFirst();
  const isDemo = row?.is_demo === 1;
  const withKey = await peopleWithKey(notebook.db);
  return {
    state: row === undefined ? 'empty' : 'ready',
    isDemo,
    institution: row?.institution ?? '',
    department: row?.department ?? '',
    people: [...(await readPeople(notebook.db)).values()].filter((person) => withKey.has(person.id)),
    demoPassphrase: isDemo ? demoPassphrase : null,
    isReadOnly: notebook.readOnly !== null,
    readOnlyReason: notebook.readOnly === null ? null : storageSentence(notebook.readOnly),
    warning: (await isOnNetworkDrive(notebook.path)) ? networkDriveSentence : null,
  };
}
