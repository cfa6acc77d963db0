import { spawnSync } from 'node:child_process';
import { mkdirSync, rmSync, statfsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { checkDatabase } from '../../../electron/check/check-database.ts';
import { sampleContent } from '../../core/record/sample-content.ts';
import { openDesk, passphraseOf } from '../services/open-desk.ts';
import { folderOfTest } from './folder.ts';

/** A disk of 12 MB that fills up: a real one where it can be mounted, else null. */
function smallDisk(): string | null {
  const folder = join(folderOfTest(), 'disk');
  mkdirSync(folder);
  const mounted = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=12m', 'tmpfs', folder]);
  if (mounted.status !== 0) return null;
  onTestFinished(() => void spawnSync('umount', ['-l', folder]));
  return folder;
}

/** Fills what is left of a disk. */
function fill(folder: string, name = 'filler'): string {
  const path = join(folder, name);
  const { bavail, bsize } = statfsSync(folder);
  writeFileSync(path, Buffer.alloc(Math.max(0, bavail * bsize)));
  return path;
}

const disk = smallDisk;

describe('a full disk', () => {
  it('refuses a save with the reason, loses nothing, and goes on when there is room', async ({ skip }) => {
    const folder = disk();
    // Said aloud: what follows was then not seen on a real disk. The stand-in below runs everywhere.
    if (folder === null) {
      console.warn('NOT EXERCISED: no small disk can be mounted here.');
      skip();
      return;
    }
    const path = join(folder, 'n.fairleaf');
    const desk = await openDesk('HTTP', { path });
    onTestFinished(() => desk.close());
    await desk.begin(['Ada', 'Dr Moss']);
    const recordId = await desk.record();
    const { id } = await desk.entry('Ada', recordId);
    const ada = await desk.as('Ada');
    const revision = await desk.save('Ada', id, { discussion: 'The last word that had room.' });

    const filler = fill(folder);
    const big = sampleContent({ discussion: 'x'.repeat(900_000) });
    const refused = await ada.ask('draft.save', { entryId: id, revision, content: big });
    expect(refused).toMatchObject({
      ok: false,
      error: { code: 'storage-failed', facts: { reason: 'disk-full' } },
    });
    const kept = await ada.get('entry.open', { entryId: id });
    expect([kept.revision, kept.content.discussion]).toEqual([revision, 'The last word that had room.']);

    // Signing writes a version, a signature and the trail, or none of them.
    const { versionHash } = await ada.get('signing.read', { entryId: id, meaning: 'performed' });
    fill(folder, 'filler-2');
    const unsigned = await ada.ask('entry.sign', {
      entryId: id,
      revision,
      versionHash,
      passphrase: passphraseOf('Ada'),
    });
    expect(unsigned).toMatchObject({ error: { code: 'storage-failed', facts: { reason: 'disk-full' } } });
    const still = await ada.get('entry.open', { entryId: id });
    expect([still.state, still.versions]).toEqual(['draft', []]);
    // A bound copy is handed out only with a line in the trail: without room for that, not at all.
    const job = await ada.get('entry.bind', { entryId: id });
    const state = async () => ada.get('job.state', { jobId: job.id });
    await expect.poll(async () => (await state()).state, { timeout: 20_000 }).not.toBe('running');
    expect(await state()).toMatchObject({
      state: 'failed',
      file: null,
      problem: expect.stringMatching(/full/),
    });

    rmSync(filler);
    rmSync(join(folder, 'filler-2'));
    const saved = await ada.get('draft.save', { entryId: id, revision, content: big });
    expect(saved.revision).toBe(revision + 1);
    await desk.sign('Ada', id);
    await desk.countersign('Dr Moss', id);
    const report = await checkDatabase(path);
    expect(report.ok && report.value.isSound).toBe(true);
  });

  it('is told apart by SQLite’s own limit as well', async () => {
    const desk = await openDesk('IPC');
    onTestFinished(() => desk.close());
    await desk.begin(['Ada', 'Dr Moss']);
    const recordId = await desk.record();
    const { id, revision } = await desk.entry('Ada', recordId);
    if (!desk.running.program.notebook.ok) throw new Error('not open');
    const { db } = desk.running.program.notebook.value;
    const { sql } = await import('kysely');
    const { rows } = await sql<{ page_count: number }>`pragma page_count`.execute(db);
    await sql.raw(`pragma max_page_count = ${rows[0]?.page_count ?? 1}`).execute(db);
    const ada = await desk.as('Ada');
    const content = sampleContent({ discussion: 'x'.repeat(900_000) });
    expect(await ada.ask('draft.save', { entryId: id, revision, content })).toMatchObject({
      error: { code: 'storage-failed', facts: { reason: 'disk-full' } },
    });
    expect((await ada.get('entry.open', { entryId: id })).revision).toBe(revision);
    await sql.raw('pragma max_page_count = 1000000').execute(db);
    expect((await ada.get('draft.save', { entryId: id, revision, content })).revision).toBe(revision + 1);
  });
});
