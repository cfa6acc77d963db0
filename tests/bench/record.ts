import { inputFromTables } from '../../core/record/check-tables.ts';
import { domainBytes, domainHash } from '../../core/record/domain.ts';
import { verifyNotebook } from '../../core/record/verify.ts';
import { recordCrypto } from '../../electron/keys/crypto.ts';
import { PaperNotebook } from '../core/record/paper-notebook.ts';
import { sampleContent } from '../core/record/sample-content.ts';

/** A notebook of a class: entries signed and countersigned, each after many saved changes. */
function classNotebook(entries: number, savesPerEntry: number): PaperNotebook {
  const notebook = new PaperNotebook();
  const moss = notebook.addPerson('moss', 'Dr H. Moss', 'instructor');
  const ada = notebook.addPerson('ada', 'Ada Fennel', 'student');
  notebook.beginRecord(ada, 'record', 'Organic preparations');
  for (let n = 0; n < entries; n += 1) {
    const entry = `entry-${n}`;
    notebook.beginEntry(ada, 'record', entry, sampleContent());
    for (let save = 0; save < savesPerEntry; save += 1) {
      notebook.event(ada, 'draft.save', { record: 'record', entry }, [], {
        changes: [
          { path: 'Discussion', old: `It was warm (${save}).`, new: `It was cold and wet (${save}).` },
        ],
      });
    }
    notebook.sign(ada, entry);
    notebook.review(moss, entry, 'countersigned', '8 of 10');
  }
  return notebook;
}

/** The whole check of a notebook. */
const check = (notebook: PaperNotebook): boolean =>
  verifyNotebook(inputFromTables(notebook.read, notebook.department.publicKey), recordCrypto).isSound;

/** No more than the hashes and the signatures that the check has to make. */
function bareCost(notebook: PaperNotebook): number {
  let sum = 0;
  for (const kind of ['event', 'version', 'signature', 'certificate'] as const) {
    for (const row of notebook.tables[kind] ?? []) {
      sum += domainHash(recordCrypto, kind, String(row['bytes'])).length;
    }
  }
  const keys = new Map(
    (notebook.tables['certificate'] ?? []).map((row) => [row['hash'], String(row['public_key'])]),
  );
  for (const row of notebook.tables['signature'] ?? []) {
    const signed = domainBytes('signature', String(row['bytes']));
    const key = keys.get(row['certificate_hash'] ?? '') ?? '';
    sum += Number(recordCrypto.verifyEd25519(key, signed, String(row['signature'])));
  }
  return sum;
}

const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;
const timed = (act: () => unknown): number => {
  const started = performance.now();
  act();
  return performance.now() - started;
};

/** A whole check beside the bare cost of its hashes and signatures, in turn, on one core. */
export default async function recordBench() {
  const notebook = classNotebook(100, 100);
  const events = notebook.tables['event']?.length ?? 0;
  const checks: number[] = [];
  const bare: number[] = [];
  for (let round = 0; round < 7; round += 1) {
    checks.push(
      timed(() => {
        if (!check(notebook)) throw new Error('the notebook is not sound');
      }),
    );
    bare.push(timed(() => bareCost(notebook)));
  }
  return await Promise.resolve({
    name: 'checking a notebook',
    rows: [
      { label: `${events} events, 100 versions, 200 signatures checked`, value: median(checks), unit: 'ms' },
      { label: 'the bare hashes and signatures of the same', value: median(bare), unit: 'ms' },
      { label: 'ratio, check ÷ bare cost', value: median(checks) / median(bare), unit: '×' },
      { label: 'events checked per second', value: (events / median(checks)) * 1000, unit: '/s' },
    ],
  });
}
