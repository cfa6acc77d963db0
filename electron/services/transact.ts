import type { Result } from '../../core/result.ts';
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

/** Runs one command in one transaction; a refusal leaves the file as it was. */
export async function transact<R extends Result<unknown, unknown>>(
  asking: { readonly program: Program; readonly notebook: NotebookFile },
  work: (posting: Posting) => Promise<R>,
): Promise<R> {
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
