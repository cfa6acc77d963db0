import { openNotebookFile } from '../../../electron/storage/notebook-file.ts';

// Root may write anything, so what cannot be written is opened by somebody else. The sources are read
// first, as who we are; the thread is started from them, so it is warmed up too.
await openNotebookFile('/nowhere/at/all/n.fairleaf');
if (process.getuid?.() === 0) {
  process.setgid?.(65534);
  process.setuid?.(65534);
}
const file = await openNotebookFile(process.argv[2] ?? '');
const people = file.ok ? (await file.value.db.selectFrom('person').select('id').execute()).length : -1;
const reason = file.ok ? (file.value.readOnly?.reason ?? 'writable') : file.error.reason;
process.stdout.write(JSON.stringify({ reason, people }));
if (file.ok) await file.value.close();
