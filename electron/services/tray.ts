import type { PersonView, TrayLine } from '../../core/contract/views.ts';
import type { EntryVersion, SnapshotLine } from '../../core/record/objects.ts';
import { ok } from '../../core/result.ts';
import type { Routes } from './asking.ts';
import { readPeople, type Reading } from './people.ts';
import { refuse } from './program.ts';

export const tray: Routes<'tray.list'> = {
  'tray.list': {
    by: 'signed-in',
    writes: false,
    async handle(_, { notebook, person }) {
      if (person.role === 'student') return refuse('not-allowed');
      return ok({ lines: await readTray(notebook.db, person) });
    },
  },
};

/** Entries handed in and waiting to be read by somebody else than their owner; the longest waiting first. */
async function readTray(db: Reading, person: PersonView): Promise<readonly TrayLine[]> {
  const people = await readPeople(db);
  const rows = await db
    .selectFrom('entry')
    .innerJoin('record', 'record.id', 'entry.record_id')
    .innerJoin('version', 'version.entry_id', 'entry.id')
    .innerJoin('signature', 'signature.version_hash', 'version.hash')
    .where('entry.state', '=', 'signed')
    .where('record.owner_id', '!=', person.id)
    .where('signature.meaning', 'in', ['performed', 'amended'])
    .where((build) =>
      build(
        'version.n',
        '=',
        build
          .selectFrom('version as later')
          .select((inner) => inner.fn.max('later.n').as('n'))
          .whereRef('later.entry_id', '=', 'entry.id'),
      ),
    )
    .select([
      'entry.id',
      'entry.number',
      'record.id as record_id',
      'record.course',
      'record.owner_id',
      'version.bytes',
      'signature.signed_at',
    ])
    .orderBy('signature.signed_at')
    .execute();
  const returned = await db
    .selectFrom('signature')
    .innerJoin('entry', 'entry.id', 'signature.entry_id')
    .where('entry.state', '=', 'signed')
    .where('signature.meaning', '=', 'returned')
    .select(['entry.id', (build) => build.fn.countAll<number>().as('times')])
    .groupBy('entry.id')
    .execute();
  const timesReturned = new Map(returned.map((row) => [row.id, row.times]));
  return rows.map((row): TrayLine => {
    const student = people.get(row.owner_id);
    if (student === undefined) throw new Error('a record has no owner');
    const version = JSON.parse(row.bytes) as EntryVersion;
    const lines = new Map(version.computed.lines.map((line) => [line.id, line]));
    const { from, to } = version.content.result.meltingRange;
    return {
      entryId: row.id,
      recordId: row.record_id,
      student,
      course: row.course,
      number: row.number,
      title: version.content.title,
      handedInAt: row.signed_at,
      timesReturned: timesReturned.get(row.id) ?? 0,
      deviations: version.computed.lines
        .filter((line) => line.id.startsWith('deviation:'))
        .map((line) => line.value),
      percentageYield: valueOf(lines.get('pure-yield') ?? lines.get('crude-yield')),
      meltingRange: rangeText(from, to),
    };
  });
}

const valueOf = (line: SnapshotLine | undefined): string =>
  line === undefined ? '' : `${line.value}\u2009${line.unit}`;

type Typed = { readonly text: string; readonly unit: string } | null;

/** As typed: a reader wants to see what was written, not what it was taken for. */
function rangeText(from: Typed, to: Typed): string {
  const texts = [from?.text, to?.text].filter((text) => text !== undefined && text.trim() !== '');
  if (texts.length === 0) return '';
  return `${[...new Set(texts)].join('–')}\u2009${from?.unit ?? to?.unit ?? '°C'}`;
}
