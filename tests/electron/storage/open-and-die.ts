import { openNotebookFile } from '../../../electron/storage/notebook-file.ts';

// Opens a notebook, says whether it may write, and is killed while it holds it.
const file = await openNotebookFile(process.argv[2] ?? '');
process.stdout.write(String(file.ok && file.value.readOnly === null), () =>
  process.kill(process.pid, 'SIGKILL'),
);
setInterval(() => undefined, 1000);
