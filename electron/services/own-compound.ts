import { ownCompoundDifferences, readOwnCompound, sameName } from '../../core/compounds/index.ts';
import type { OwnCompoundContent } from '../../core/compounds/own-compound.ts';
import type { OwnCompoundView } from '../../core/contract/own-compound-schema.ts';
import type { PersonView } from '../../core/contract/views.ts';
import { compositionOfSmiles, type StructureComposition } from '../../core/formula/structure-composition.ts';
import { sealOwnCompound } from '../../core/record/build.ts';
import type { FieldChange, OwnCompoundVersion } from '../../core/record/objects.ts';
import { readSealed } from '../../core/record/read-object.ts';
import { ok, type Problem, type Result } from '../../core/result.ts';
import { recordCrypto } from '../keys/crypto.ts';
import type { OwnCompoundRow } from '../storage/tables.ts';
import { actorOf, type AskingPerson, type Routes } from './asking.ts';
import { readPeople, type Reading } from './people.ts';
import type { Posting } from './posting.ts';
import { refuse } from './program.ts';
import { transact } from './transact.ts';

type Names = ReadonlyMap<string, PersonView>;

/** @throws for a row that is not as it was saved */
function viewOf(row: OwnCompoundRow, people: Names): OwnCompoundView {
  const read = readSealed(recordCrypto, 'own_compound', row);
  if (!read.ok) throw new Error(`own compound ${row.compound_id}, version ${row.n}: ${read.error.code}`);
  const { compound, n, isWithdrawn, content, author, at, offsetMinutes, reason } = read.value;
  return {
    id: compound,
    n,
    isWithdrawn,
    content,
    author: author.printedName,
    initials: people.get(author.person)?.initials ?? '',
    at,
    offsetMinutes,
    reason,
  };
}

/** Those that are as they were saved; what is not stays away from the bench, and the check names it. */
const readable = (rows: readonly OwnCompoundRow[], people: Names): readonly OwnCompoundView[] =>
  rows.filter((row) => readSealed(recordCrypto, 'own_compound', row).ok).map((row) => viewOf(row, people));

const rowsOf = (db: Reading, compoundId: string): Promise<OwnCompoundRow[]> =>
  db.selectFrom('own_compound').selectAll().where('compound_id', '=', compoundId).orderBy('n').execute();

/** The newest form of every compound. */
const newestRows = (db: Reading): Promise<OwnCompoundRow[]> =>
  db
    .selectFrom('own_compound')
    .selectAll()
    .where((build) =>
      build(
        'n',
        '=',
        build
          .selectFrom('own_compound as other')
          .whereRef('other.compound_id', '=', 'own_compound.compound_id')
          .select((inner) => inner.fn.max('other.n').as('n')),
      ),
    )
    .execute();

async function structureOf(smiles: string): Promise<Result<StructureComposition, Problem> | null> {
  if (smiles.trim() === '') return null;
  // Large, and wanted only where there is a structure.
  const { Molecule } = await import('openchemlib');
  return compositionOfSmiles(smiles, (text) => Molecule.fromSmiles(text));
}

/** Writes the form that follows, with the event that vouches for it. */
async function write(
  posting: Posting,
  { program, person }: AskingPerson,
  before: OwnCompoundRow | null,
  stated: Pick<OwnCompoundVersion, 'compound' | 'n' | 'isWithdrawn' | 'content' | 'reason'>,
  told: { readonly action: 'own-compound.save' | 'own-compound.withdraw'; readonly changes: FieldChange[] },
): Promise<OwnCompoundView> {
  const at = program.clock.now();
  const sealed = sealOwnCompound(recordCrypto, {
    ...stated,
    previousVersion: before?.hash ?? null,
    author: { person: person.id, printedName: person.printedName },
    at,
    offsetMinutes: program.clock.offsetMinutes(),
  });
  const row = { compound_id: stated.compound, n: stated.n, author_id: person.id, at };
  await posting.addOwnCompound(sealed, row);
  await posting.tell({ ...told, actor: actorOf(person), reason: stated.reason });
  return viewOf({ ...row, hash: sealed.hash, bytes: sealed.bytes }, await readPeople(posting.db));
}

function changesForTrail(
  before: OwnCompoundContent | null,
  after: OwnCompoundContent,
  n: number,
): FieldChange[] {
  const differences = ownCompoundDifferences(before, after);
  return [
    { path: `version of ${after.name}`, old: n === 1 ? '' : String(n - 1), new: String(n) },
    ...differences.map(({ label, old, new: now }) => ({ path: `${after.name}, ${label}`, old, new: now })),
  ];
}

export const ownCompound: Routes<
  'own-compound.list' | 'own-compound.read' | 'own-compound.save' | 'own-compound.withdraw'
> = {
  'own-compound.list': {
    by: 'signed-in',
    writes: false,
    async handle(_, { notebook: { db } }) {
      const people = await readPeople(db);
      return ok({ compounds: readable(await newestRows(db), people) });
    },
  },
  'own-compound.read': {
    by: 'signed-in',
    writes: false,
    async handle({ compoundId }, { notebook: { db } }) {
      const rows = await rowsOf(db, compoundId);
      if (rows.length === 0) return refuse('not-found', 'compoundId');
      const people = await readPeople(db);
      return ok({ versions: readable(rows, people) });
    },
  },
  'own-compound.save': {
    by: 'department',
    writes: true,
    async handle(input, asking) {
      const read = readOwnCompound(input.content, await structureOf(input.content.smiles));
      if (!read.ok) {
        const [first] = read.error;
        return refuse('compound-faulty', first?.where ?? '', { ...first?.facts, reason: first?.code ?? '' });
      }
      const content = read.value;
      return transact(asking, async (posting) => {
        const { compoundId } = input;
        const before = compoundId === null ? undefined : (await rowsOf(posting.db, compoundId)).at(-1);
        if (compoundId !== null && before === undefined) return refuse('not-found', 'compoundId');
        const people = await readPeople(posting.db);
        const last = before === undefined ? null : viewOf(before, people);
        if ((last?.n ?? 0) !== input.n) return changedElsewhere(last);
        const others = readable(await newestRows(posting.db), people);
        const namesake = others.find(
          (one) => one.id !== compoundId && !one.isWithdrawn && sameName(one.content.name, content.name),
        );
        if (namesake !== undefined) {
          return refuse('compound-name-taken', 'content.name', { name: namesake.content.name });
        }
        const isSame = last !== null && ownCompoundDifferences(last.content, content).length === 0;
        if (isSame && !last.isWithdrawn) return refuse('nothing-changed', 'content');
        const n = input.n + 1;
        return ok(
          await write(
            posting,
            asking,
            before ?? null,
            {
              // No id of the shipped library begins so.
              compound: compoundId ?? `own-${asking.program.newId()}`,
              n,
              isWithdrawn: false,
              content,
              reason: input.reason.trim(),
            },
            { action: 'own-compound.save', changes: changesForTrail(last?.content ?? null, content, n) },
          ),
        );
      });
    },
  },
  'own-compound.withdraw': {
    by: 'department',
    writes: true,
    handle: (input, asking) =>
      transact(asking, async (posting) => {
        const reason = input.reason.trim();
        const before = (await rowsOf(posting.db, input.compoundId)).at(-1);
        if (before === undefined) return refuse('not-found', 'compoundId');
        const last = viewOf(before, await readPeople(posting.db));
        if (last.n !== input.n) return changedElsewhere(last);
        if (last.isWithdrawn) return refuse('nothing-changed', 'compoundId');
        if (reason === '') return refuse('reason-missing', 'reason');
        const { name } = last.content;
        return ok(
          await write(
            posting,
            asking,
            before,
            { compound: last.id, n: last.n + 1, isWithdrawn: true, content: last.content, reason },
            {
              action: 'own-compound.withdraw',
              changes: [{ path: `version of ${name}`, old: String(last.n), new: `${last.n + 1}, withdrawn` }],
            },
          ),
        );
      }),
  },
};

/** Somebody else saved since this form was opened; the sender keeps what was typed. */
const changedElsewhere = (last: OwnCompoundView | null) =>
  refuse('compound-changed-elsewhere', 'n', { n: last?.n ?? 0, author: last?.author ?? '' });
