import { fail, ok, type Problem, type Result } from '../result.ts';
import { canonical, readCanonical } from './canonical.ts';
import type { StoredRow } from './attest.ts';
import type { CheckInput, Witness } from './check-input.ts';
import type { ReadTable } from './check-tables.ts';
import { departmentPerson } from './build.ts';
import type { AttestedTable, Certificate, Sealed, Sha256Hex } from './objects.ts';
import { readObject } from './read-object.ts';
import { hash, listOf, matching, object, oneOf, orNull, text, type Shape } from './shape.ts';

/** The name under which a bound PDF, a hand-in and a deposit carry their bundle. */
export const bundleFileName = 'fairleaf-record.json';
/** UTF-16 code units: the longest bundle that is read. Attachments are files of their own. */
export const bundleLimit = 256_000_000;

type PlainRow = Readonly<Record<string, string | number | null>>;
/** Tables whose rows travel: what a reader sees beside the signed versions. Never keys. */
type TravellingTable = Extract<AttestedTable, 'record' | 'entry' | 'comment'>;
const travelling: readonly TravellingTable[] = ['record', 'entry', 'comment'];

/**
 * The signed objects of some entries, with all that is needed to check them, in one file that any
 * program can read. RFC 8785 canonical JSON, so that one content has one text.
 */
export interface Bundle {
  readonly type: 'bundle';
  readonly format: 1;
  /** The events here are those that concern these entries; the trail goes on elsewhere. */
  readonly scope: 'excerpt';
  readonly notebook: string;
  readonly institution: string;
  readonly department: string;
  readonly departmentKey: string;
  readonly certificates: readonly Sealed[];
  readonly revocations: readonly Sealed[];
  readonly checkpoints: readonly Sealed[];
  readonly versions: readonly Sealed[];
  readonly signatures: readonly Sealed[];
  readonly events: readonly Sealed[];
  readonly foreignEvents: readonly Sealed[];
  readonly rows: readonly { readonly table: TravellingTable; readonly row: PlainRow }[];
}

const sealed = object({
  bytes: text(bundleLimit),
  hash,
  signature: orNull(matching(/^[0-9a-f]{128}$/)),
});
/** Rows are held against the trail column by column, so their form need only be plain. */
const plainRow: Shape = (value, path) =>
  typeof value === 'object' &&
  value !== null &&
  !Array.isArray(value) &&
  Object.values(value).every((cell) => cell === null || typeof cell === 'string' || typeof cell === 'number')
    ? null
    : path;

const shape = object({
  type: oneOf('bundle'),
  format: oneOf(1),
  scope: oneOf('excerpt'),
  notebook: text(200),
  institution: text(),
  department: text(),
  departmentKey: matching(/^[0-9a-f]{64}$/),
  certificates: listOf(sealed),
  revocations: listOf(sealed),
  checkpoints: listOf(sealed),
  versions: listOf(sealed),
  signatures: listOf(sealed),
  events: listOf(sealed, 10_000_000),
  foreignEvents: listOf(sealed, 10_000_000),
  rows: listOf(object({ table: oneOf(...travelling), row: plainRow }), 1_000_000),
});

/** The text of a bundle, as it is put into a file. */
export const bundleText = (bundle: Bundle): string => canonical(bundle);

/**
 * Reads a bundle that came from outside. Its objects are not checked here: that is `verifyNotebook`.
 *
 * @error those of `readCanonical`; format-newer, wrong-shape with the path at fault
 */
export function readBundle(source: string): Result<Bundle, Problem> {
  const read = readCanonical(source, { maxLength: bundleLimit });
  if (!read.ok) return read;
  const format = (read.value as { format?: unknown } | null)?.format;
  if (typeof format === 'number' && format > 1) {
    return fail({ code: 'format-newer', where: 'format', facts: { format } });
  }
  const wrong = shape(read.value, '');
  return wrong === null
    ? ok(read.value as Bundle)
    : fail({ code: 'wrong-shape', where: wrong, facts: { kind: 'bundle' } });
}

/** What a bundle gives to check. */
export function inputFromBundle(
  bundle: Bundle,
  pinnedKey: string | null,
  attachments: Iterable<{ readonly sha256: Sha256Hex; readonly data: Uint8Array }> = [],
  outside: readonly Witness[] = [],
): CheckInput {
  return {
    scope: bundle.scope,
    notebook: bundle.notebook,
    departmentKey: bundle.departmentKey,
    pinnedKey,
    certificates: bundle.certificates,
    revocations: bundle.revocations,
    checkpoints: bundle.checkpoints,
    versions: bundle.versions,
    signatures: bundle.signatures,
    events: bundle.events,
    foreignEvents: bundle.foreignEvents,
    rows: bundle.rows,
    attachments,
    witnesses: outside,
  };
}

const cell = (row: StoredRow, column: string): string => {
  const value = row[column];
  return typeof value === 'string' ? value : '';
};
const sealedOf = (row: StoredRow): Sealed => ({
  bytes: cell(row, 'bytes'),
  hash: cell(row, 'hash'),
  signature: typeof row['signature'] === 'string' ? row['signature'] : null,
});

/**
 * Everything about some entries, from the tables of a notebook. A draft does not travel: what is not
 * signed is not handed on.
 *
 * @param entries ids of the entries; their records and comments come along
 */
export function bundleOfEntries(read: ReadTable, entries: ReadonlySet<string>): Bundle {
  const records = new Set<string>();
  for (const row of read('entry')) if (entries.has(cell(row, 'id'))) records.add(cell(row, 'record_id'));
  const ofEntry = (row: StoredRow): boolean => entries.has(cell(row, 'entry_id'));
  const signatures = [...read('signature')].filter(ofEntry);
  const events = [...read('event')].filter(
    (row) => ofEntry(row) || (row['entry_id'] === null && records.has(cell(row, 'record_id'))),
  );
  const certificates = neededCertificates(
    read,
    new Set(signatures.map((row) => cell(row, 'certificate_hash'))),
  );
  const carried = new Set(certificates.map((one) => one.hash));
  return {
    ...heading(read),
    scope: 'excerpt',
    certificates,
    // Why somebody else's key was withdrawn is nobody's business here.
    revocations: [...read('revocation')]
      .filter((row) => carried.has(cell(row, 'certificate_hash')))
      .map(sealedOf),
    checkpoints: [],
    versions: [...read('version')].filter(ofEntry).map(sealedOf),
    signatures: signatures.map(sealedOf),
    events: events.map(sealedOf),
    foreignEvents: [...read('foreign_event')].map(sealedOf).filter((one) => isAbout(one, entries, records)),
    rows: travelling.flatMap((table) =>
      [...read(table)]
        .filter((row) =>
          table === 'record'
            ? records.has(cell(row, 'id'))
            : entries.has(cell(row, table === 'entry' ? 'id' : 'entry_id')),
        )
        .map((row) => ({ table, row: row as PlainRow })),
    ),
  };
}

/** Other people's trails came in with their hand-ins; what they say of other entries stays here. */
function isAbout(sealed: Sealed, entries: ReadonlySet<string>, records: ReadonlySet<string>): boolean {
  const event = readObject('event', sealed.bytes);
  if (!event.ok) return false;
  const { entry, record } = event.value.object;
  return entry === null ? record !== null && records.has(record) : entries.has(entry);
}

function heading(
  read: ReadTable,
): Pick<Bundle, 'type' | 'format' | 'notebook' | 'institution' | 'department' | 'departmentKey'> {
  const notebook = [...read('notebook')][0] ?? {};
  return {
    type: 'bundle',
    format: 1,
    notebook: cell(notebook, 'id'),
    institution: cell(notebook, 'institution'),
    department: cell(notebook, 'department'),
    departmentKey: cell(notebook, 'department_key'),
  };
}

/** The signers' certificates and the department's own, which lead from the pinned key to them. */
function neededCertificates(read: ReadTable, hashes: ReadonlySet<string>): readonly Sealed[] {
  return [...read('certificate')].map(sealedOf).filter((one) => {
    if (hashes.has(one.hash)) return true;
    const certificate = readObject('certificate', one.bytes);
    return certificate.ok && isDepartments(certificate.value);
  });
}
const isDepartments = (certificate: Certificate): boolean => certificate.person === departmentPerson;
