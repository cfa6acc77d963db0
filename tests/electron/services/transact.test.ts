import { describe, expect, it, onTestFinished } from 'vitest';
import { fail, ok } from '../../../core/result.ts';
import { transact } from '../../../electron/services/transact.ts';
import { openDesk } from './open-desk.ts';

describe('transact', () => {
  it('keeps everything of a command that succeeds, and nothing of one that is refused or fails', async () => {
    const desk = await openDesk('IPC');
    onTestFinished(() => desk.close());
    await desk.begin(['Ada']);
    const { program } = desk.running;
    if (!program.notebook.ok) throw new Error('not open');
    const notebook = program.notebook.value;
    const owner = desk.idOf('Ada');
    const row = (id: string) => ({ id, owner_id: owner, title: id, course: '', created_at: 'now' });
    const titles = async (): Promise<readonly string[]> =>
      (await notebook.db.selectFrom('record').select('title').execute()).map((one) => one.title);
    const events = async (): Promise<number> =>
      (await notebook.db.selectFrom('event').select('seq').execute()).length;
    const before = await events();

    const refused = await transact({ program, notebook }, async (posting) => {
      await posting.insert('record', row('refused'));
      await posting.tell({ action: 'record.begin', actor: null, record: 'refused' });
      return fail('no');
    });
    expect(refused).toEqual({ ok: false, error: 'no' });
    await expect(
      transact({ program, notebook }, async (posting) => {
        await posting.insert('record', row('thrown'));
        throw new Error('a bug');
      }),
    ).rejects.toThrow('a bug');
    expect([await titles(), await events()]).toEqual([[], before]);

    await transact({ program, notebook }, async (posting) => {
      await posting.insert('record', row('kept'));
      await posting.tell({ action: 'record.begin', actor: null, record: 'kept' });
      return ok(null);
    });
    expect([await titles(), await events()]).toEqual([['kept'], before + 1]);
  });
});
