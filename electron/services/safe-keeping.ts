import { ok } from '../../core/result.ts';
import { makeCopy, keptCopies } from '../storage/kept-copies.ts';
import type { NotebookFile } from '../storage/notebook-file.ts';
import type { Program } from './program.ts';
import { transact } from './transact.ts';

/**
 * Keeps a copy of the notebook if anything happened since the last one, and tells the trail.
 *
 * @returns the copy's name; null when there was nothing new
 */
export async function keepCopy(program: Program, notebook: NotebookFile): Promise<string | null> {
  const last = await notebook.db
    .selectFrom('event')
    .select('action')
    .orderBy('seq', 'desc')
    .limit(1)
    .executeTakeFirst();
  // Nothing was begun yet, or the last thing that happened was a copy.
  if (last === undefined || last.action === 'notebook.backup') return null;
  const name = await makeCopy(notebook.path, program.clock.now(), (to) => notebook.copyTo(to));
  await transact({ program, notebook }, async (posting) => {
    await posting.tell({
      action: 'notebook.backup',
      actor: null,
      changes: [{ path: 'file', old: '', new: name }],
    });
    return ok(null);
  });
  return name;
}

const dayMs = 24 * 3_600_000;

/** Is the last copy a day old, or is there none? */
export async function isCopyDue(program: Program, notebook: NotebookFile): Promise<boolean> {
  const [newest] = await keptCopies(notebook.path);
  return newest === undefined || Date.parse(program.clock.now()) - Date.parse(newest.at) >= dayMs;
}
