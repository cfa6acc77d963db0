import { ok } from '../../core/result.ts';
import { verdict } from './check.ts';
import type { Program } from './program.ts';
import { transact } from './transact.ts';
import { doWork } from './work.ts';

/**
 * Checks the notebook in a thread while people begin to work. One that was changed behind the program's
 * back is told to the trail, and is open for reading only from then on: what would be written after it
 * would lend it the look of being in order.
 *
 * @throws the signal's reason when it is aborted, and what the thread throws
 */
export async function checkAtStart(program: Program, signal: AbortSignal): Promise<void> {
  if (!program.notebook.ok) return;
  const notebook = program.notebook.value;
  const begun = await notebook.db.selectFrom('notebook').select('id').executeTakeFirst();
  if (begun === undefined) return;
  const work = { kind: 'check', path: notebook.path, pinnedKey: null } as const;
  const answer = await doWork(work, { signal, onProgress: () => undefined });
  // One that cannot even be checked was not opened for writing, or says why itself when it is written to.
  if (answer.kind !== 'check' || !answer.result.ok || answer.result.value.isSound) return;
  const report = answer.result.value;
  const first = report.findings.find((finding) => finding.severity === 'broken');
  const { place = '', sentence = '' } = first ?? {};
  try {
    if (notebook.readOnly === null) {
      await transact({ program, notebook }, async (posting) => {
        await posting.tell({ action: 'notebook.check', actor: null, reason: verdict(report) });
        return ok(null);
      });
    }
  } finally {
    program.notebook = {
      ok: true,
      value: { ...notebook, readOnly: { reason: 'check-failed', facts: { place, sentence } } },
    };
  }
}
