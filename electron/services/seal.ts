import type { Refusal } from '../../core/contract/contract.ts';
import { ok, type Result } from '../../core/result.ts';
import { actorOf, type AskingPerson, type Routes } from './asking.ts';
import { unlockWith } from './passphrase-check.ts';
import { refuse } from './program.ts';
import { makeSealKey, openSeal, sealInUse, sealViews, statementOfSeal, type SealWith } from './seal-key.ts';
import { transact } from './transact.ts';

export const seal: Routes<'seal.list' | 'seal.make' | 'seal.retire'> = {
  'seal.list': {
    by: 'signed-in',
    writes: false,
    handle: async (_, { notebook, program }) =>
      ok({ seals: await sealViews(notebook.db, program.clock.now()) }),
  },
  'seal.make': {
    by: 'department',
    writes: true,
    async handle(input, asking) {
      const { program, notebook } = asking;
      const unlocked = await unlockDepartment(asking, input.departmentPassphrase);
      if (!unlocked.ok) return unlocked;
      const { id, institution, department } = await notebook.db
        .selectFrom('notebook')
        .selectAll()
        .executeTakeFirstOrThrow();
      const before = await notebook.db.selectFrom('seal_key').select('id').execute();
      const made = await makeSealKey(
        program,
        {
          notebook: id,
          institution,
          department,
          serial: before.length + 1,
          issuer: unlocked.value.key.publicKey,
          certify: unlocked.value.key.sign,
          passphrase: input.departmentPassphrase,
        },
        program.keyCost,
      );
      return transact(asking, async (posting) => {
        const former = await sealInUse(posting.db);
        if (former !== null) {
          await posting.update('seal_key', former.id, { retired_at: program.clock.now() });
        }
        await posting.insert('seal_key', made);
        await posting.tell({
          action: 'seal.make',
          actor: actorOf(asking.person),
          changes: [
            {
              path: 'seal',
              old: former === null ? '' : words(statementOfSeal(former)),
              new: words(statementOfSeal(made)),
            },
          ],
        });
        return ok({ seals: await sealViews(posting.db, program.clock.now()) });
      });
    },
  },
  'seal.retire': {
    by: 'department',
    writes: true,
    async handle(input, asking) {
      const { program } = asking;
      const reason = input.reason.trim();
      if (reason === '') return refuse('reason-missing', 'reason');
      const unlocked = await unlockDepartment(asking, input.departmentPassphrase);
      if (!unlocked.ok) return unlocked;
      return transact(asking, async (posting) => {
        const former = await sealInUse(posting.db);
        if (former === null) return refuse('seal-missing');
        await posting.update('seal_key', former.id, { retired_at: program.clock.now() });
        await posting.tell({
          action: 'seal.retire',
          actor: actorOf(asking.person),
          reason,
          changes: [{ path: 'seal', old: words(statementOfSeal(former)), new: '' }],
        });
        return ok({ seals: await sealViews(posting.db, program.clock.now()) });
      });
    },
  },
};

const words = (statement: { readonly serial: number; readonly anchor: string }): string =>
  `certificate ${statement.serial}, SHA-256 ${statement.anchor}`;

const unlockDepartment = (asking: AskingPerson, passphrase: string): ReturnType<typeof unlockWith> =>
  unlockWith(asking, null, asking.person, passphrase, { action: 'signing.refused' });

/**
 * The seal for a file that the department is about to write, opened with the department's passphrase.
 * Whether there is a seal is looked at first, so that nobody's tries are used up on what cannot be.
 */
export async function sealFor(
  asking: AskingPerson,
  departmentPassphrase: string,
): Promise<
  Result<SealWith, Refusal<'wrong-passphrase' | 'wait-before-retry' | 'seal-missing' | 'seal-expired'>>
> {
  const row = await sealInUse(asking.notebook.db);
  if (row === null) return refuse('seal-missing');
  const at = asking.program.clock.now();
  const { notAfter } = statementOfSeal(row);
  if (at > notAfter) return refuse('seal-expired', '', { until: notAfter.slice(0, 10) });
  const unlocked = await unlockDepartment(asking, departmentPassphrase);
  if (!unlocked.ok) return unlocked;
  return ok(await openSeal(row, departmentPassphrase, at));
}

/**
 * The seal for the PDFs of a deposit, whose passphrase has just opened the department's own key. Null
 * where there is none in use: a deposit is held together by its own signed list of files.
 */
export async function sealForDeposit(
  { notebook, program }: Pick<AskingPerson, 'notebook' | 'program'>,
  departmentPassphrase: string,
): Promise<SealWith | null> {
  const row = await sealInUse(notebook.db);
  const at = program.clock.now();
  if (row === null || at > statementOfSeal(row).notAfter) return null;
  return openSeal(row, departmentPassphrase, at);
}
