import * as v from 'valibot';
import { contract, type RequestContract } from './contract.ts';
import { attachmentLimits } from '../attachments/attachment-file.ts';
import { attachmentNote, entryContent, section } from './content-schema.ts';
import { ownCompoundContent, ownCompoundView } from './own-compound-schema.ts';
import {
  base64,
  count,
  filledText,
  id,
  instant,
  limits,
  longText,
  passphrase,
  role,
  sha256,
  shortText,
} from './parts.ts';
import type { CodeOf, InputOf, ReplyOf, RequestName } from './request-map.ts';
import * as view from './view-schemas.ts';

const nothing = v.strictObject({});
const newPerson = {
  printedName: v.pipe(filledText, v.maxLength(100)),
  initials: v.pipe(filledText, v.maxLength(8)),
  role,
  passphrase,
};
const secret = ['wrong-passphrase', 'wait-before-retry'] as const;
const seals = v.strictObject({ seals: v.array(view.seal) });
const sealing = ['seal-missing', 'seal-expired'] as const;
const newSecret = ['passphrase-too-short'] as const;
const version = v.pipe(count, v.minValue(1));
/** Made of three ids: the deposit, the record in it, the entry. */
const depositEntry = v.pipe(v.string(), v.regex(/^deposit:[\w.-]{1,100}:\d{1,6}:[\w.:-]{1,200}$/));

/** The schemas of `RequestMap`, request by request; `satisfies` below holds the two together. */
export const requests = {
  'setup.state': contract(nothing, view.setup),
  'setup.demo': contract(nothing, view.setup, ['not-empty']),
  'setup.begin': contract(
    v.strictObject({
      institution: v.pipe(filledText, v.maxLength(200)),
      department: v.pipe(filledText, v.maxLength(200)),
      passphrase,
      people: v.pipe(v.array(v.strictObject(newPerson)), v.minLength(1), v.maxLength(500)),
    }),
    view.setup,
    ['not-empty', ...newSecret, 'name-taken'],
  ),

  'session.open': contract(v.strictObject({ personId: id, passphrase }), view.session, secret),
  'session.current': contract(nothing, v.strictObject({ session: v.nullable(view.session) })),
  'session.close': contract(nothing, v.strictObject({ session: v.null() })),

  'person.list': contract(nothing, v.strictObject({ people: v.array(view.person) })),
  'person.add': contract(v.strictObject({ ...newPerson, departmentPassphrase: passphrase }), view.person, [
    ...secret,
    ...newSecret,
    'name-taken',
  ]),
  'person.change-passphrase': contract(v.strictObject({ old: passphrase, new: passphrase }), view.person, [
    ...secret,
    ...newSecret,
  ]),

  'key.list': contract(nothing, view.keyList),
  'key.retire': contract(
    v.strictObject({
      key: sha256,
      kind: v.picklist(['retired', 'compromised']),
      since: v.nullable(instant),
      reason: shortText,
      departmentPassphrase: passphrase,
    }),
    view.keyList,
    [...secret, 'reason-missing', 'since-not-past', 'key-not-in-use', 'last-of-department'],
  ),
  'key.replace': contract(
    v.strictObject({ personId: id, passphrase, reason: shortText, departmentPassphrase: passphrase }),
    view.keyList,
    [...secret, ...newSecret, 'reason-missing'],
  ),
  'key.extend': contract(v.strictObject({ key: sha256, departmentPassphrase: passphrase }), view.keyList, [
    ...secret,
    'key-not-in-use',
  ]),
  'department.change-passphrase': contract(
    v.strictObject({ old: passphrase, new: passphrase }),
    view.keyList,
    [...secret, ...newSecret],
  ),

  'seal.list': contract(nothing, seals),
  'seal.make': contract(v.strictObject({ departmentPassphrase: passphrase }), seals, secret),
  'seal.retire': contract(v.strictObject({ reason: shortText, departmentPassphrase: passphrase }), seals, [
    ...secret,
    'reason-missing',
    'seal-missing',
  ]),

  'own-compound.list': contract(nothing, v.strictObject({ compounds: v.array(ownCompoundView) })),
  'own-compound.read': contract(
    v.strictObject({ compoundId: id }),
    v.strictObject({ versions: v.array(ownCompoundView) }),
  ),
  'own-compound.save': contract(
    v.strictObject({
      compoundId: v.nullable(id),
      n: count,
      content: ownCompoundContent,
      reason: shortText,
    }),
    ownCompoundView,
    ['compound-faulty', 'compound-name-taken', 'compound-changed-elsewhere', 'nothing-changed'],
  ),
  'own-compound.withdraw': contract(
    v.strictObject({ compoundId: id, n: count, reason: shortText }),
    ownCompoundView,
    ['reason-missing', 'compound-changed-elsewhere', 'nothing-changed'],
  ),

  'record.list': contract(nothing, v.strictObject({ records: v.array(view.recordCard) })),
  'record.begin': contract(
    v.strictObject({
      title: v.pipe(filledText, v.maxLength(200)),
      course: v.pipe(shortText, v.maxLength(200)),
      ownerId: id,
    }),
    view.recordCard,
    ['title-taken'],
  ),
  'record.open': contract(v.strictObject({ recordId: id }), view.record),

  'entry.begin': contract(v.strictObject({ recordId: id, content: entryContent }), view.entry, [
    'attachment-unknown',
  ]),
  'entry.open': contract(v.strictObject({ entryId: id }), view.entry),
  'draft.save': contract(
    v.strictObject({ entryId: id, revision: count, content: entryContent }),
    v.strictObject({ revision: v.number(), savedAt: v.string() }),
    ['entry-locked', 'draft-changed-elsewhere', 'attachment-unknown'],
  ),
  'attachment.add': contract(
    v.strictObject({
      entryId: id,
      revision: count,
      section,
      name: shortText,
      caption: longText,
      // A little over the limit: what is too large is told so in its own words.
      data: base64(attachmentLimits.bytes * 4),
    }),
    v.strictObject({
      note: attachmentNote,
      hasPosition: v.boolean(),
      revision: v.number(),
      savedAt: v.string(),
    }),
    [
      'entry-locked',
      'draft-changed-elsewhere',
      'attachment-name',
      'attachment-empty',
      'attachment-too-large',
      'attachment-kind',
      'attachment-disguised',
      'attachment-damaged',
      'attachment-too-many-pixels',
      'attachment-too-many',
      'attachment-there-already',
    ],
  ),
  'entry.strike-out': contract(v.strictObject({ entryId: id, reason: longText }), view.entry, [
    'entry-locked',
    'reason-missing',
  ]),

  'signing.read': contract(
    v.strictObject({
      entryId: id,
      meaning: v.picklist(['performed', 'returned', 'countersigned', 'amended']),
    }),
    view.signingText,
    ['entry-locked'],
  ),
  'entry.sign': contract(
    v.strictObject({ entryId: id, revision: count, versionHash: sha256, passphrase }),
    view.entry,
    [...secret, 'entry-locked', 'draft-changed-elsewhere'],
  ),
  'entry.return': contract(
    v.strictObject({ entryId: id, versionHash: sha256, remark: longText, passphrase }),
    view.entry,
    [...secret, 'entry-locked', 'comment-missing', 'version-superseded'],
  ),
  'entry.countersign': contract(
    v.strictObject({
      entryId: id,
      versionHash: sha256,
      mark: v.pipe(shortText, v.maxLength(40)),
      passphrase,
    }),
    view.entry,
    [...secret, 'entry-locked', 'version-superseded'],
  ),
  'entry.amend': contract(v.strictObject({ entryId: id, reason: longText }), view.entry, [
    'reason-missing',
    'not-locked',
  ]),
  'entry.abandon-amendment': contract(v.strictObject({ entryId: id }), view.entry, ['not-locked']),

  'comment.add': contract(
    v.strictObject({ entryId: id, section, anchor: v.nullable(id), text: longText }),
    view.comment,
    ['comment-missing'],
  ),
  'comment.settle': contract(v.strictObject({ commentId: id }), view.comment),

  'version.read': contract(
    v.strictObject({ entryId: id, n: version }),
    v.strictObject({ content: entryContent, computed: view.computedSnapshot }),
  ),
  'version.compare': contract(
    v.strictObject({ entryId: id, from: version, to: v.nullable(version) }),
    view.comparison,
  ),

  'tray.list': contract(nothing, v.strictObject({ lines: v.array(view.trayLine) })),
  'trail.list': contract(
    v.strictObject({
      entryId: v.nullable(id),
      action: v.nullable(id),
      text: v.nullable(shortText),
      before: v.nullable(count),
      limit: v.pipe(count, v.minValue(1), v.maxValue(500)),
    }),
    v.strictObject({ lines: v.array(view.trailLine), total: v.number() }),
  ),
  'trail.export': contract(
    v.strictObject({
      entryId: v.nullable(id),
      action: v.nullable(id),
      text: v.nullable(shortText),
    }),
    view.job,
  ),
  'notebook.check': contract(nothing, view.checkReport),

  'file.check': contract(
    v.strictObject({ name: shortText, data: base64(limits.handInBytes) }),
    view.checkReport,
    ['file-unreadable'],
  ),
  'hand-in.write': contract(v.strictObject({ entryId: id, passphrase }), view.job, [
    ...secret,
    'nothing-signed',
  ]),
  'hand-in.read': contract(v.strictObject({ data: base64(limits.handInBytes) }), view.handIn, [
    'hand-in-unreadable',
  ]),
  'hand-in.take': contract(v.strictObject({ data: base64(limits.handInBytes) }), view.handIn, [
    'hand-in-unreadable',
    'hand-in-refused',
  ]),
  'record.deposit': contract(
    v.strictObject({
      recordIds: v.pipe(
        v.array(id),
        v.minLength(1),
        v.maxLength(2_000),
        v.check((ids: string[]) => new Set(ids).size === ids.length, 'names a record twice'),
      ),
      departmentPassphrase: passphrase,
    }),
    view.job,
    [...secret, 'nothing-signed'],
  ),
  'deposit.bring': contract(
    v.strictObject({ depositId: v.nullable(id), data: base64(limits.pieceBytes) }),
    v.strictObject({ depositId: v.string(), sizeBytes: v.number() }),
    ['file-unreadable'],
  ),
  'deposit.open': contract(v.strictObject({ depositId: id, name: shortText }), view.deposit, [
    'file-unreadable',
  ]),
  'deposit.list': contract(nothing, v.strictObject({ deposits: v.array(view.deposit) })),
  'deposit.entry': contract(v.strictObject({ entryId: depositEntry }), view.entry),
  'deposit.version': contract(
    v.strictObject({ entryId: depositEntry, n: version }),
    v.strictObject({ content: entryContent, computed: view.computedSnapshot }),
  ),
  'deposit.close': contract(v.strictObject({ depositId: id }), v.strictObject({ depositId: v.null() })),
  'notebook.issue': contract(nothing, view.job),

  'entry.bind': contract(v.strictObject({ entryId: id }), view.job),
  'record.bind': contract(v.strictObject({ recordId: id }), view.job),
  'entry.bind-sealed': contract(v.strictObject({ entryId: id, departmentPassphrase: passphrase }), view.job, [
    ...secret,
    ...sealing,
  ]),
  'record.bind-sealed': contract(
    v.strictObject({ recordId: id, departmentPassphrase: passphrase }),
    view.job,
    [...secret, ...sealing],
  ),
  'job.state': contract(v.strictObject({ jobId: id }), view.job),
  'job.cancel': contract(v.strictObject({ jobId: id }), view.job),
} satisfies { [K in RequestName]: RequestContract<InputOf<K>, ReplyOf<K>, CodeOf<K>> };

type Schemas = typeof requests;
type Plain<T> = T extends readonly (infer U)[]
  ? Plain<U>[]
  : T extends object
    ? { -readonly [K in keyof T]: Plain<T[K]> }
    : T;
type Same<A, B> = [Plain<A>] extends [Plain<B>] ? ([Plain<B>] extends [Plain<A>] ? true : false) : false;
// `satisfies` lets a schema take less than the map says, or list fewer codes; this does not.
type Wrong = {
  [K in RequestName]: [
    Same<v.InferOutput<Schemas[K]['input']>, InputOf<K>>,
    Same<v.InferOutput<Schemas[K]['reply']>, ReplyOf<K>>,
    Same<Schemas[K]['codes'][number], CodeOf<K>>,
  ] extends [true, true, true]
    ? never
    : K;
}[RequestName];
/** Names the request whose schema and type disagree; compiles only while there is none. */
export const schemasMatchTypes: [Wrong] extends [never] ? true : Wrong = true;
