import type { Result } from '../../core/result.ts';
import { DatabaseError } from '../storage/database-message.ts';
import type { NotebookFile } from '../storage/notebook-file.ts';
import { Posting } from './posting.ts';
import type { Program } from './program.ts';

/** Carries a refusal out of a transaction, so that it is rolled back. */
class RolledBack extends Error {
  readonly refusal: unknown;
  constructor(refusal: unknown) {
    super('refused');
    this.refusal = refusal;
  }
}

/**
 * Runs one command in one transaction; a refusal leaves the file as it was.
 *
 * @throws DatabaseError file-replaced when the notebook does not stand where it was opened any more: what
 *   would be written is not acknowledged, since nobody would find it again
 */
export async function transact<R extends Result<unknown, unknown>>(
  asking: { readonly program: Program; readonly notebook: NotebookFile },
  work: (posting: Posting) => Promise<R>,
): Promise<R> {
  const there = await asking.notebook.stillThere();
  if (!there.ok) throw new DatabaseError('the notebook is not in its place', there.error.reason);
  try {
    return await asking.notebook.db.transaction().execute(async (transaction) => {
      const result = await work(new Posting(asking.program, transaction));
      if (!result.ok) throw new RolledBack(result);
      return result;
    });
  } catch (error) {
    if (error instanceof RolledBack) return error.refusal as R;
    throw error;
  }
}
