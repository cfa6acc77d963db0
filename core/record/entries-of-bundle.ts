import type { EntryView, PersonView, SignatureView, VersionCard } from '../contract/views.ts';
import type { Bundle } from './bundle.ts';
import type { EntryContent } from './content.ts';
import { initialsOf } from './initials.ts';
import type { Comment, ComputedSnapshot, EntryState, EntryVersion, Sealed } from './objects.ts';
import { readObject } from './read-object.ts';

type Row = Bundle['rows'][number]['row'];

const textOf = (row: Row | undefined, key: string): string =>
  typeof row?.[key] === 'string' ? row[key] : '';
const textOrNull = (row: Row | undefined, key: string): string | null =>
  typeof row?.[key] === 'string' ? row[key] : null;

const states: readonly EntryState[] = [
  'draft',
  'signed',
  'returned',
  'countersigned',
  'amending',
  'struck-out',
];

interface ReadVersion {
  readonly sealed: Sealed;
  readonly version: EntryVersion;
}

const versionsOf = (bundle: Bundle): ReadonlyMap<string, readonly ReadVersion[]> => {
  const read = bundle.versions.flatMap((sealed) => {
    const object = readObject('version', sealed.bytes);
    return object.ok ? [{ sealed, version: object.value }] : [];
  });
  return Map.groupBy(
    read.toSorted((a, b) => a.version.n - b.version.n),
    ({ version }) => version.entry,
  );
};

/** What the department said of withdrawn keys, by certificate; wrong hands weigh more than retired. */
function noticesOf(bundle: Bundle): ReadonlyMap<string, SignatureView['withdrawn']> {
  const notices = new Map<string, SignatureView['withdrawn']>();
  for (const { bytes } of bundle.revocations) {
    const read = readObject('revocation', bytes);
    if (!read.ok) continue;
    const { certificateHash, kind, since, at } = read.value;
    if (notices.get(certificateHash)?.kind !== 'compromised') {
      notices.set(certificateHash, { kind, since, at });
    }
  }
  return notices;
}

function signaturesOf(bundle: Bundle): ReadonlyMap<string, readonly SignatureView[]> {
  const notices = noticesOf(bundle);
  const read = bundle.signatures.flatMap((sealed) => {
    const object = readObject('signature', sealed.bytes);
    return object.ok ? [{ hash: sealed.hash, payload: object.value }] : [];
  });
  const views = read
    // A signature names those it rests on, so their number is its place.
    .toSorted((a, b) => a.payload.previousSignatures.length - b.payload.previousSignatures.length)
    .map(({ hash, payload }) => ({
      key: payload.versionHash,
      view: {
        meaning: payload.meaning,
        printedName: payload.signer.printedName,
        initials: initialsOf(payload.signer.printedName),
        role: payload.signer.role,
        signedAt: payload.signedAt,
        offsetMinutes: payload.offsetMinutes,
        remark: payload.remark,
        n: payload.n,
        hash,
        withdrawn: notices.get(payload.certificateHash) ?? null,
      },
    }));
  return new Map(
    [...Map.groupBy(views, ({ key }) => key)].map(([key, list]) => [key, list.map(({ view }) => view)]),
  );
}

function commentsOf(bundle: Bundle, entryId: string, people: ReadonlyMap<string, PersonView>): Comment[] {
  return bundle.rows
    .filter(({ table, row }) => table === 'comment' && row['entry_id'] === entryId)
    .map(({ row }): Comment => {
      const author = people.get(textOf(row, 'author_id'));
      return {
        id: textOf(row, 'id'),
        entry: entryId,
        n: typeof row['n'] === 'number' ? row['n'] : null,
        section: textOf(row, 'section') as Comment['section'],
        anchor: textOrNull(row, 'anchor'),
        text: textOf(row, 'text'),
        author: {
          person: textOf(row, 'author_id'),
          printedName: author?.printedName ?? '',
          role: author?.role ?? 'student',
        },
        at: textOf(row, 'at'),
        isSettled: row['is_settled'] === 1,
      };
    })
    .toSorted((a, b) => a.at.localeCompare(b.at));
}

/** Everybody whose name a signed object gives. */
function peopleOf(bundle: Bundle): ReadonlyMap<string, PersonView> {
  const people = new Map<string, PersonView>();
  const add = (person: string, printedName: string, role: PersonView['role']): void => {
    people.set(person, { id: person, printedName, initials: initialsOf(printedName), role });
  };
  for (const { bytes } of bundle.certificates) {
    const read = readObject('certificate', bytes);
    if (read.ok) add(read.value.person, read.value.printedName, read.value.role);
  }
  for (const { bytes } of bundle.versions) {
    const read = readObject('version', bytes);
    // Whoever is not certified is not believed to be more than a student.
    if (read.ok && !people.has(read.value.author.person)) {
      add(read.value.author.person, read.value.author.printedName, 'student');
    }
  }
  return people;
}

/**
 * The entries of a bundle as they are shown: the newest signed version of each, with its signatures and
 * comments, and nothing that may be done. What cannot be read is not there; that it is as it was signed
 * is the check's to say.
 */
export function entriesOfBundle(bundle: Bundle): readonly EntryView[] {
  const signatures = signaturesOf(bundle);
  const people = peopleOf(bundle);
  const rowOf = (table: 'entry' | 'record', id: string): Row | undefined =>
    bundle.rows.find((one) => one.table === table && one.row['id'] === id)?.row;
  const views = [...versionsOf(bundle)].flatMap(([id, versions]): EntryView[] => {
    const last = versions.at(-1)?.version;
    if (last === undefined) return [];
    const row = rowOf('entry', id);
    const state = states.find((one) => one === row?.['state']) ?? 'signed';
    const cards = versions.map(({ sealed, version }): VersionCard => ({
      n: version.n,
      hash: sealed.hash,
      author: version.author.printedName,
      reason: version.reason,
      signatures: signatures.get(sealed.hash) ?? [],
    }));
    const owner = people.get(last.author.person);
    if (owner === undefined) return [];
    return [
      {
        id,
        recordId: last.record,
        recordTitle: last.heading.recordTitle,
        course: last.heading.course,
        owner,
        number: typeof row?.['number'] === 'number' ? row['number'] : last.heading.number,
        state,
        mark: textOf(row, 'mark'),
        content: last.content,
        revision: 0,
        savedAt: cards.at(-1)?.signatures[0]?.signedAt ?? '',
        versions: cards,
        comments: commentsOf(bundle, id, people),
        permissions: {
          canEdit: false,
          canSign: false,
          canComment: false,
          canReturn: false,
          canCountersign: false,
          canAmend: false,
          canStrikeOut: false,
        },
        amendmentReason: textOrNull(row, 'amendment_reason'),
        strikeOutReason: textOrNull(row, 'strike_out_reason'),
      },
    ];
  });
  return views.toSorted((a, b) => a.number - b.number);
}

/** One signed version of an entry in a bundle, or null. */
export function versionOfBundle(
  bundle: Bundle,
  entryId: string,
  n: number,
): { readonly content: EntryContent; readonly computed: ComputedSnapshot } | null {
  const found = versionsOf(bundle)
    .get(entryId)
    ?.find(({ version }) => version.n === n)?.version;
  return found === undefined ? null : { content: found.content, computed: found.computed };
}
