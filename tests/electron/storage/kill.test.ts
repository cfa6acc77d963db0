import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { checkDatabase } from '../../../electron/check/check-database.ts';
import { openDesk } from '../services/open-desk.ts';
import { openNotebookFile } from '../../../electron/storage/notebook-file.ts';
import type { EntryContent } from '../../../core/record/content.ts';
import { folderOfTest } from './folder.ts';

interface Said {
  readonly entry?: string;
  readonly revision?: number;
  readonly discussion?: string;
  readonly signed?: string;
  readonly state?: string;
}

/** Lets somebody work for a while, then kills them. @returns what had been acknowledged */
function workAndKill(path: string, afterMs: number): Promise<readonly Said[]> {
  const script = fileURLToPath(new URL('typing.ts', import.meta.url));
  const child = spawn(process.execPath, [script, path, 'Ada'], { stdio: ['ignore', 'pipe', 'pipe'] });
  let out = '';
  let problems = '';
  child.stderr.on('data', (chunk: Buffer) => (problems += chunk.toString()));
  child.stdout.on('data', (chunk: Buffer) => {
    // The time runs from the first word: how long Node takes to start is not the question.
    if (out === '') setTimeout(() => child.kill('SIGKILL'), afterMs);
    out += chunk.toString();
  });
  return new Promise((resolve, reject) => {
    child.on('exit', (code, signal) => {
      if (signal !== 'SIGKILL') reject(new Error(`ended by itself (${code}): ${problems}`));
      const lines = out.split('\n').slice(0, -1);
      resolve(lines.map((line) => JSON.parse(line) as Said));
    });
  });
}

describe('a program killed in the middle', () => {
  it('loses nothing that was acknowledged, and leaves a sound notebook', async () => {
    const path = join(folderOfTest(), 'n.fairleaf');
    const desk = await openDesk('IPC', { path });
    await desk.begin(['Ada', 'Dr Moss']);
    await desk.record();
    await desk.running.stop();

    let acknowledged = 0;
    const kills = 12;
    for (let round = 0; round < kills; round++) {
      // Spread over the whole cycle: begin, six saves, sign, review.
      const said = await workAndKill(path, 20 + round * 37);
      acknowledged += said.length;
      const file = await openNotebookFile(path);
      if (!file.ok) throw new Error(file.error.reason);
      const { db } = file.value;
      const lastSave = said.findLast((one) => one.revision !== undefined);
      if (lastSave?.entry !== undefined) {
        const draft = await db
          .selectFrom('draft')
          .selectAll()
          .where('entry_id', '=', lastSave.entry)
          .executeTakeFirstOrThrow();
        // What came after the acknowledged save may be there as well; nothing before it may be missing.
        expect(draft.revision).toBeGreaterThanOrEqual(lastSave.revision ?? 0);
        if (draft.revision === lastSave.revision) {
          expect((JSON.parse(draft.content) as EntryContent).discussion).toBe(lastSave.discussion);
        }
      }
      for (const one of said.filter((line) => line.signed !== undefined)) {
        const version = await db
          .selectFrom('version')
          .select('entry_id')
          .where('hash', '=', one.signed ?? '')
          .executeTakeFirst();
        expect(version?.entry_id).toBe(one.entry);
      }
      const lastState = said.findLast((one) => one.state !== undefined);
      if (lastState?.entry !== undefined) {
        const entry = await db
          .selectFrom('entry')
          .select('state')
          .where('id', '=', lastState.entry)
          .executeTakeFirstOrThrow();
        expect(entry.state).toBe(lastState.state);
      }
      await file.value.close();
      const report = await checkDatabase(path);
      if (!report.ok) throw new Error(report.error.code);
      expect(report.value.findings.filter((finding) => finding.severity === 'broken')).toEqual([]);
    }
    expect(acknowledged).toBeGreaterThan(kills * 3);
  }, 240_000);
});
