import { execFile } from 'node:child_process';
import {
  copyFileSync,
  existsSync,
  mkdtempSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
  writeSync,
  closeSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { checkFile } from '../../../electron/check/check-file.ts';
import { isCopyDue, keepCopy } from '../../../electron/services/safe-keeping.ts';
import { copiesFolder, keptCopies } from '../../../electron/storage/kept-copies.ts';
import { windowClient } from '../../../electron/transport/ipc.ts';
import { openDesk } from './open-desk.ts';

const run = promisify(execFile);
const cli = fileURLToPath(new URL('../../../electron/cli/fairleaf.ts', import.meta.url));
/** @returns the exit code, with everything that was printed */
async function fairleaf(...args: string[]): Promise<{ code: number; text: string }> {
  try {
    const { stdout, stderr } = await run(process.execPath, [cli, ...args]);
    return { code: 0, text: stdout + stderr };
  } catch (error) {
    const { code, stdout, stderr } = error as { code: number; stdout: string; stderr: string };
    return { code, text: stdout + stderr };
  }
}

describe('safe keeping', () => {
  let folder: string;
  let path: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'fairleaf-safe-'));
    path = join(folder, 'notebook.fairleaf');
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  it('keeps a copy at the end, tells the trail, and keeps none when nothing happened', async () => {
    const desk = await openDesk('IPC', { path, keepsCopies: true });
    await desk.begin();
    await desk.lockedEntry(await desk.record());
    await desk.close();
    const copies = await keptCopies(path);
    expect(copies).toHaveLength(1);
    const report = await checkFile(join(copiesFolder(path), copies[0]?.name ?? ''));
    expect(report).toMatchObject({ ok: true, value: { isSound: true } });
    expect(await checkFile(path)).toMatchObject({ ok: true, value: { isSound: true } });

    const again = await openDesk('IPC', { path, keepsCopies: true });
    await again.close();
    expect(await keptCopies(path)).toEqual(copies);
  });

  it('is due once a day', async () => {
    const desk = await openDesk('IPC', { path });
    await desk.begin();
    const { program } = desk.running;
    if (!program.notebook.ok) throw new Error('not open');
    const notebook = program.notebook.value;
    expect(await isCopyDue(program, notebook)).toBe(true);
    expect(await keepCopy(program, notebook)).not.toBeNull();
    expect(await isCopyDue(program, notebook)).toBe(false);
    desk.clock.pass(23 * 3600);
    expect(await isCopyDue(program, notebook)).toBe(false);
    desk.clock.pass(3600);
    expect(await isCopyDue(program, notebook)).toBe(true);
    await desk.close();
  });

  it('puts a copy back: what was lost is there again, what stood there is kept', async () => {
    const desk = await openDesk('IPC', { path, keepsCopies: true });
    await desk.begin();
    const recordId = await desk.record();
    const { people } = desk;
    await desk.lockedEntry(recordId);
    await desk.close();
    const name = (await keptCopies(path))[0]?.name ?? '';
    expect((await fairleaf('restore', '--file', path)).text).toContain(name);

    // While it is open elsewhere nothing is put back under it.
    const holder = await openDesk('IPC', { path });
    const refused = await fairleaf('restore', name, '--file', path);
    expect(refused.code).not.toBe(0);
    expect(refused.text).toContain('open in another program');
    await holder.close();

    tear(path);
    const restored = await fairleaf('restore', name, '--file', path);
    expect(restored).toMatchObject({ code: 0 });
    const back = await openDesk('IPC', { path });
    back.people = people;
    const opened = await (await back.as('Ada')).get('record.open', { recordId });
    expect(opened.lines.map((line) => line.state)).toEqual(['countersigned']);
    const trail = await (
      await back.as('Dr Moss')
    ).get('trail.list', { entryId: null, action: 'notebook.restore', text: null, before: null, limit: 1 });
    expect(trail.total).toBe(1);
    await back.close();
    expect(await checkFile(path)).toMatchObject({ ok: true, value: { isSound: true } });
    expect(readdirSync(folder).some((file) => file.startsWith('notebook.fairleaf.replaced-'))).toBe(true);
  });

  it('puts back what a crash left in the log beside the copy as well', async () => {
    const desk = await openDesk('IPC', { path });
    await desk.begin(['Ada']);
    const recordId = await desk.record();
    const left = join(folder, 'left.fairleaf');
    for (const side of ['', '-wal']) copyFileSync(path + side, left + side);
    const { people } = desk;
    await desk.close();
    const other = join(folder, 'other.fairleaf');
    expect(await fairleaf('restore', left, '--file', other)).toMatchObject({ code: 0 });
    const back = await openDesk('IPC', { path: other });
    back.people = people;
    expect(await (await back.as('Ada')).ask('record.open', { recordId })).toMatchObject({ ok: true });
    await back.close();
  });

  it('puts nothing back that is not sound', async () => {
    const desk = await openDesk('IPC', { path, keepsCopies: true });
    await desk.begin();
    await desk.lockedEntry(await desk.record());
    await desk.close();
    const name = (await keptCopies(path))[0]?.name ?? '';
    tear(join(copiesFolder(path), name));
    const before = statSync(path).mtimeMs;
    const refused = await fairleaf('restore', name, '--file', path);
    expect(refused.code).not.toBe(0);
    expect(statSync(path).mtimeMs).toBe(before);
    expect(existsSync(`${path}.part`)).toBe(false);
  });

  it('puts nothing in the place of a notebook that is no notebook, however sound', async () => {
    const desk = await openDesk('IPC', { path, keepsCopies: true });
    await desk.begin();
    const { id } = await desk.lockedEntry(await desk.record());
    const moss = await desk.as('Dr Moss');
    let job = await moss.get('entry.bind', { entryId: id });
    while (job.state === 'running') {
      await new Promise((resolve) => setTimeout(resolve, 50));
      job = await moss.get('job.state', { jobId: job.id });
    }
    const pdf = join(folder, 'bound.pdf');
    writeFileSync(pdf, desk.running.jobFile(job.id, windowClient)?.bytes ?? '');
    await desk.close();
    // Sound it is; that is what made it dangerous.
    expect(await checkFile(pdf)).toMatchObject({ ok: true, value: { isSound: true } });
    const before = readFileSync(path);
    const refused = await fairleaf('restore', pdf, '--file', path);
    expect(refused).toMatchObject({ code: 2 });
    expect(refused.text).toContain('not a notebook');
    expect(readFileSync(path).equals(before)).toBe(true);
    const folderRefused = await fairleaf('restore', folder, '--file', path);
    expect(folderRefused).toMatchObject({ code: 2 });
    expect(folderRefused.text).toContain('not a notebook');
  });

  it('opens a torn notebook for reading only, and says why', async () => {
    const desk = await openDesk('IPC', { path });
    await desk.begin();
    await desk.lockedEntry(await desk.record());
    await desk.close();
    tear(path);
    const torn = await openDesk('IPC', { path });
    const { notebook } = torn.running.program;
    const reason = notebook.ok ? notebook.value.readOnly?.reason : notebook.error.reason;
    expect(reason).toBe('damaged');
    await torn.close();
  });
});

/** Overwrites some pages in the middle, as a failing disk does; the first page stays. */
function tear(file: string): void {
  const size = statSync(file).size;
  const handle = openSync(file, 'r+');
  writeSync(handle, Buffer.alloc(4096 * 3, 0xa5), 0, 4096 * 3, Math.floor(size / 2 / 4096) * 4096);
  closeSync(handle);
}
