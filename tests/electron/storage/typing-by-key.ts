import { DraftSaver } from '../../../renderer/draft/draft-saver.ts';
import { cheapScryptCost } from '../../../electron/keys/sealed-key.ts';
import { startProgram } from '../../../electron/services/start-program.ts';
import { sampleContent as sample } from '../../core/record/sample-content.ts';

// Somebody typing key after key without a pause, until the process is killed; the draft is brought to the
// notebook by the class the page uses. Prints each key with its time (ms), one line each.
const [, , path = '', who = '', keyMs = '20'] = process.argv;
const running = await startProgram({ path, keyCost: cheapScryptCost });
const ask = async (name: string, input: object): Promise<never> => {
  const reply = await running.dispatch(name, input, { client: 's' });
  if (!reply.ok) throw new Error(`${name}: ${JSON.stringify(reply.error)}`);
  return reply.value as never;
};
const content = (discussion: string): ReturnType<typeof sample> =>
  sample({ discussion, stepRecords: [], notes: [] });

const setup: { people: readonly { id: string; printedName: string }[] } = await ask('setup.state', {});
const personId = setup.people.find((one) => one.printedName === who)?.id ?? '';
await ask('session.open', { personId, passphrase: `the passphrase of ${who}` });
const { records }: { records: readonly { id: string }[] } = await ask('record.list', {});
const entry: { id: string; revision: number; savedAt: string } = await ask('entry.begin', {
  recordId: records[0]?.id ?? '',
  content: content(''),
});
const saver = new DraftSaver({
  revision: entry.revision,
  savedAt: entry.savedAt,
  save: (revision, typed) =>
    running.dispatch('draft.save', { entryId: entry.id, revision, content: typed }, { client: 's' }) as never,
  onState: () => undefined,
});
let text = '';
setInterval(() => {
  text += 'x';
  saver.touched(content(text));
  process.stdout.write(`${JSON.stringify({ entry: entry.id, keys: text.length, at: Date.now() })}\n`);
}, Number(keyMs));
