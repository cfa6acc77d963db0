import { cheapScryptCost } from '../../../electron/keys/sealed-key.ts';
import { startProgram } from '../../../electron/services/start-program.ts';
import { sampleContent as sample } from '../../core/record/sample-content.ts';

// Somebody at work, until the process is killed: types into a draft, and now and then comments, signs, has an
// entry returned or countersigned, begins another. Prints what was acknowledged, one line each.
const [, , path = '', who = ''] = process.argv;
const passphrase = `the passphrase of ${who}`;
const running = await startProgram({ path, keyCost: cheapScryptCost });
const ask = async (client: string, name: string, input: object): Promise<never> => {
  const reply = await running.dispatch(name, input, { client });
  if (!reply.ok) throw new Error(`${name}: ${JSON.stringify(reply.error)}`);
  return reply.value as never;
};
/** The sample's times belong to another calendar than this process's. */
const sampleContent = (changes: Parameters<typeof sample>[0]): ReturnType<typeof sample> =>
  sample({ ...changes, stepRecords: [], notes: [] });
const say = (line: object): void => void process.stdout.write(`${JSON.stringify(line)}\n`);

type Person = { readonly id: string; readonly printedName: string };
const setup: { people: readonly Person[] } = await ask('s', 'setup.state', {});
const id = (name: string): string => setup.people.find((one) => one.printedName === name)?.id ?? '';
await ask('s', 'session.open', { personId: id(who), passphrase });
await ask('i', 'session.open', { personId: id('Dr Moss'), passphrase: 'the passphrase of Dr Moss' });
const { records }: { records: readonly { id: string }[] } = await ask('s', 'record.list', {});
const recordId = records[0]?.id ?? '';

type View = {
  readonly id: string;
  readonly revision: number;
  readonly state: string;
  readonly versions: readonly { hash: string }[];
};
for (let n = 0; ; n++) {
  const entry: View = await ask('s', 'entry.begin', {
    recordId,
    content: sampleContent({ title: `Entry ${n}` }),
  });
  say({ begun: entry.id });
  let revision = entry.revision;
  for (let word = 0; word < 6; word++) {
    const discussion = `${'word '.repeat(word + 1)}${n}`;
    const saved: { revision: number } = await ask('s', 'draft.save', {
      entryId: entry.id,
      revision,
      content: sampleContent({ title: `Entry ${n}`, discussion }),
    });
    revision = saved.revision;
    say({ entry: entry.id, revision, discussion });
  }
  const { versionHash }: { versionHash: string } = await ask('s', 'signing.read', {
    entryId: entry.id,
    meaning: 'performed',
  });
  await ask('s', 'entry.sign', { entryId: entry.id, revision, versionHash, passphrase });
  say({ entry: entry.id, signed: versionHash });
  const review = { entryId: entry.id, versionHash, passphrase: 'the passphrase of Dr Moss' };
  if (n % 2 === 0) await ask('i', 'entry.countersign', { ...review, mark: '9' });
  else await ask('i', 'entry.return', { ...review, remark: 'More.' });
  say({ entry: entry.id, state: n % 2 === 0 ? 'countersigned' : 'returned' });
}
