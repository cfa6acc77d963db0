import { existsSync, statSync } from 'node:fs';
import { basename, join, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { ok, type Problem } from '../../core/result.ts';
import { problemSentence } from '../../core/wording/index.ts';
import { checkFile, fileKind } from '../check/check-file.ts';
import { notebookPath } from '../services/notebook-path.ts';
import { startProgram } from '../services/start-program.ts';
import { transact } from '../services/transact.ts';
import { copiesFolder, keptCopies } from '../storage/kept-copies.ts';
import { putBack } from '../storage/restore.ts';
import { reportText } from './check.ts';
import { UsageError, type Command } from './command.ts';

export const restore: Command = {
  usage: 'restore [COPY] [--file NOTEBOOK]',
  summary: 'puts a kept copy back in place of a notebook; without COPY lists the copies there are',
  async run(args) {
    const { values, positionals } = parseArgs({
      args: [...args],
      options: { file: { type: 'string' } },
      allowPositionals: true,
    });
    const path = notebookPath(values.file);
    const [wanted, ...rest] = positionals;
    if (rest.length > 0) throw new UsageError('Name one copy.');
    return wanted === undefined ? list(path) : putCopyBack(path, wanted);
  },
};

async function list(path: string): Promise<number> {
  const copies = await keptCopies(path);
  if (copies.length === 0) {
    console.log(`No copies of ${basename(path)} are kept.`);
    return 0;
  }
  for (const { name } of copies) {
    const size = statSync(join(copiesFolder(path), name)).size;
    console.log(`${name}  ${(size / 1e6).toFixed(1)} MB`);
  }
  return 0;
}

function refuse(copy: string, problem: Pick<Problem, 'code' | 'facts'>): number {
  console.error(`${basename(copy)}: cannot be put back. ${problemSentence(problem)}`);
  return 2;
}

async function putCopyBack(path: string, wanted: string): Promise<number> {
  const kept = join(copiesFolder(path), wanted);
  const copy = existsSync(kept) ? kept : resolve(wanted);
  // Other kinds of file can be sound as well: a bound PDF in its place would be the end of a notebook.
  const kind = fileKind(copy);
  if (kind.ok && kind.value !== 'notebook') return refuse(copy, { code: 'not-a-notebook', facts: {} });
  const report = await checkFile(copy);
  if (!report.ok) return refuse(copy, report.error);
  if (!report.value.isSound) {
    console.error(reportText(basename(copy), report.value).join('\n'));
    console.error('It was not put back.');
    return 1;
  }
  const aside = putBack(copy, path, new Date().toISOString());
  await tellRestored(path, basename(copy));
  console.log(`${basename(copy)} stands in place of ${basename(path)}.`);
  if (aside !== null) console.log(`The notebook that stood there is kept as ${basename(aside)}.`);
  console.log(
    'What was written after the copy is not in it; receipts and countersignatures given out since will show that.',
  );
  return 0;
}

/** The notebook itself says that it was put back. */
async function tellRestored(path: string, name: string): Promise<void> {
  const running = await startProgram({ path });
  try {
    const { program } = running;
    if (!program.notebook.ok || program.notebook.value.readOnly !== null) return;
    await transact({ program, notebook: program.notebook.value }, async (posting) => {
      await posting.tell({
        action: 'notebook.restore',
        actor: null,
        changes: [{ path: 'file', old: '', new: name }],
      });
      return ok(null);
    });
  } finally {
    await running.stop();
  }
}
