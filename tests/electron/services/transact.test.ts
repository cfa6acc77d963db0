import { copyFileSync, renameSync } from 'node:fs';
import { describe, expect, it, onTestFinished } from 'vitest';
import { fail, ok } from '../../../core/result.ts';
import { transact } from '../../../electron/services/transact.ts';
import { openDesk, passphraseOf } from './open-desk.ts';

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

  it.skipIf(process.platform === 'win32')(
    'acknowledges nothing that would go into a file nobody finds again, and goes on when it is back',
    async () => {
      const desk = await openDesk('HTTP');
      onTestFinished(() => desk.close());
      await desk.begin(['Ada']);
      const { id, content } = await desk.entry('Ada', await desk.record());
      const ada = await desk.as('Ada');
      const save = (aim: string) =>
        ada.ask('draft.save', { entryId: id, revision: 1, content: { ...content, aim } });
      const gone = { error: { code: 'storage-failed', facts: { reason: 'file-replaced' } } };
      const text = await ada.get('signing.read', { entryId: id, meaning: 'performed' });

      // Moved, as somebody tidying up does.
      renameSync(desk.path, `${desk.path}.moved`);
      expect(await save('moved')).toMatchObject(gone);
      expect(
        await ada.ask('entry.sign', {
          entryId: id,
          revision: 1,
          versionHash: text.versionHash,
          passphrase: passphraseOf('Ada'),
        }),
      ).toMatchObject(gone);
      // Replaced, as a program that keeps folders alike does.
      copyFileSync(`${desk.path}.moved`, desk.path);
      expect(await save('replaced')).toMatchObject(gone);
      renameSync(`${desk.path}.moved`, desk.path);
      expect(await save('back')).toMatchObject({ ok: true, value: { revision: 2 } });
      expect((await ada.get('entry.open', { entryId: id })).state).toBe('draft');
    },
  );
});
