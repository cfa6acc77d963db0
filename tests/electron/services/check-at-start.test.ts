import Database from 'better-sqlite3';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { withoutGuards } from '../check/notebook-file.ts';
import { openDesk, type Desk } from './open-desk.ts';

/** A notebook with a locked entry, closed, and then changed behind the program's back. */
async function changedNotebook(sql: string): Promise<{ path: string; desk: Desk }> {
  const folder = mkdtempSync(join(tmpdir(), 'fairleaf-start-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const path = join(folder, 'n.fairleaf');
  const first = await openDesk('IPC', { path });
  await first.begin(['Ada', 'Dr Moss']);
  await first.lockedEntry(await first.record());
  await first.running.stop();
  const database = new Database(path);
  withoutGuards(database, () => database.exec(sql));
  database.close();
  const desk = await openDesk('IPC', { path, checksAtStart: true });
  onTestFinished(() => desk.close());
  desk.people = first.people;
  await desk.running.checked;
  return { path, desk };
}
const lastEvent = (path: string): Readonly<Record<string, unknown>> => {
  const database = new Database(path, { readonly: true });
  const row = database.prepare('select action, bytes from event order by seq desc limit 1').get();
  database.close();
  return row as Readonly<Record<string, unknown>>;
};

describe('the check when a notebook is opened', () => {
  it('leaves a sound one as it is, and tells nothing', async () => {
    const { path, desk } = await changedNotebook('select 1');
    const setup = await (await desk.seatOf('somebody')).get('setup.state', {});
    expect(setup).toMatchObject({ isReadOnly: false, readOnlyReason: null });
    expect(lastEvent(path)['action']).not.toBe('notebook.check');
  });

  it('opens one that was changed for reading only, names the place, and tells the trail', async () => {
    const { path, desk } = await changedNotebook(
      `update version set bytes = replace(bytes, '134', '135') where n = 1`,
    );
    const seat = await desk.seatOf('somebody');
    const setup = await seat.get('setup.state', {});
    expect(setup.isReadOnly).toBe(true);
    expect(setup.readOnlyReason).toContain('fails at entry 1 of “Practical record”, version 1: ');
    expect(lastEvent(path)).toMatchObject({ action: 'notebook.check' });
    expect(String(lastEvent(path)['bytes'])).toContain('version-changed');

    const ada = await desk.as('Ada');
    const { records } = await ada.get('record.list', {});
    expect(records).toHaveLength(1);
    const refused = await ada.ask('record.begin', {
      title: 'Another',
      course: '',
      ownerId: desk.idOf('Ada'),
    });
    expect(refused).toMatchObject({
      ok: false,
      error: { code: 'storage-failed', facts: { reason: 'check-failed' } },
    });
    const report = await ada.get('notebook.check', {});
    expect(report.isSound).toBe(false);
  });

  it('is no obstacle to a new file, nor to closing at once', async () => {
    const desk = await openDesk('IPC', { checksAtStart: true });
    await desk.running.checked;
    await desk.begin(['Ada', 'Dr Moss']);
    await desk.close();
  });
});
