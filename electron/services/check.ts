import { ok } from '../../core/result.ts';
import { actorOf, type Routes } from './asking.ts';
import { tellDrafts } from './draft-audit.ts';
import { refuse } from './program.ts';
import { transact } from './transact.ts';
import { doWork } from './work.ts';

export const check: Routes<'notebook.check'> = {
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
        const broken = report.findings.filter((finding) => finding.severity === 'broken');
        await transact(asking, async (posting) => {
          await posting.tell({
            action: 'notebook.check',
            actor: actorOf(asking.person),
            reason: report.isSound
              ? 'sound'
              : `${broken.length} broken, first: ${broken[0]?.place ?? ''} (${broken[0]?.code ?? ''})`,
          });
          return ok(null);
        });
      }
      return ok(report);
    },
  },
};
