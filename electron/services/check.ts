import { rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { attachmentName } from '../../core/attachments/attachment-file.ts';
import type { CheckReport } from '../../core/contract/views.ts';
import { ok } from '../../core/result.ts';
import { sha256 } from '../keys/crypto.ts';
import { workFolder } from '../storage/work-folder.ts';
import { actorOf, type Answer, type AskingPerson, type Routes } from './asking.ts';
import { tellDrafts } from './draft-audit.ts';
import { refuse } from './program.ts';
import { transact } from './transact.ts';
import { doWork } from './work.ts';

export const check: Routes<'notebook.check' | 'file.check'> = {
  'file.check': { by: 'signed-in', writes: false, handle: checkOutside },
  'notebook.check': {
    by: 'signed-in',
    writes: false,
    async handle(_, asking) {
      const { notebook, program } = asking;
      const isWritable = notebook.readOnly === null;
      if (isWritable) await tellDrafts(asking);
      const answer = await doWork(
        { kind: 'check', path: notebook.path, pinnedKey: null },
        { signal: new AbortController().signal, onProgress: () => undefined },
      );
      if (answer.kind !== 'check') throw new Error('the thread did other work than it was given');
      const { result } = answer;
      if (!result.ok) {
        program.log('notebook.check', result.error);
        return refuse('storage-failed', '', { ...result.error.facts, reason: result.error.code });
      }
      const report = result.value;
      if (isWritable) {
        await transact(asking, async (posting) => {
          await posting.tell({
            action: 'notebook.check',
            actor: actorOf(asking.person),
            reason: verdict(report),
          });
          return ok(null);
        });
      }
      return ok(report);
    },
  },
};

/** What a check came to, as the trail tells it. */
export function verdict(report: CheckReport): string {
  const broken = report.findings.filter((finding) => finding.severity === 'broken');
  return report.isSound
    ? 'sound'
    : `${broken.length} broken, first: ${broken[0]?.place ?? ''} (${broken[0]?.code ?? ''})`;
}

/** Checks a file that a person chose, in a thread of its own and a folder that is gone afterwards. */
async function checkOutside(
  input: { readonly name: string; readonly data: string },
  asking: AskingPerson,
): Promise<Answer<'file.check'>> {
  const { notebook, person } = asking;
  const bytes = Buffer.from(input.data, 'base64');
  const own = await notebook.db.selectFrom('notebook').select('department_key').executeTakeFirstOrThrow();
  const folder = await workFolder('check');
  try {
    const path = join(folder, 'file');
    await writeFile(path, bytes, { mode: 0o600 });
    const answer = await doWork(
      { kind: 'check', path, pinnedKey: own.department_key },
      { signal: new AbortController().signal, onProgress: () => undefined },
    );
    if (answer.kind !== 'check') throw new Error('the thread did other work than it was given');
    const { result } = answer;
    if (!result.ok) {
      return refuse('file-unreadable', 'data', { ...result.error.facts, reason: result.error.code });
    }
    if (notebook.readOnly === null) {
      await transact(asking, async (posting) => {
        await posting.tell({
          action: 'file.check',
          actor: actorOf(person),
          reason: verdict(result.value),
          changes: [
            { path: 'file', old: '', new: `${attachmentName(input.name)}, SHA-256 ${sha256(bytes)}` },
          ],
        });
        return ok(null);
      });
    }
    return ok(result.value);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
