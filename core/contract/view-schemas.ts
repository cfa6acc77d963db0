import * as v from 'valibot';
import { entryContent, section } from './content-schema.ts';
import { meaning, role, state } from './parts.ts';

// Replies come from ourselves: their shape is held to the letter, their lengths are not.
const text = v.string();
const number = v.number();
const flag = v.boolean();
const list = <S extends v.GenericSchema>(item: S) => v.array(item);

export const person = v.strictObject({ id: text, printedName: text, initials: text, role });

export const setup = v.strictObject({
  state: v.picklist(['empty', 'ready']),
  isDemo: flag,
  institution: text,
  department: text,
  people: list(person),
  demoPassphrase: v.nullable(text),
  isReadOnly: flag,
  readOnlyReason: v.nullable(text),
  warning: v.nullable(text),
});

const key = v.strictObject({
  key: text,
  fingerprint: text,
  serial: number,
  notBefore: text,
  notAfter: text,
  isHere: flag,
  standing: v.picklist(['in-use', 'ends-soon', 'ended', 'retired', 'compromised']),
  since: v.nullable(text),
  at: v.nullable(text),
  reason: text,
});
export const keyList = v.strictObject({
  people: list(v.strictObject({ person, keys: list(key) })),
  department: list(key),
});

export const seal = v.strictObject({
  serial: number,
  name: text,
  sha256: text,
  notBefore: text,
  notAfter: text,
  retiredAt: v.nullable(text),
  standing: v.picklist(['in-use', 'ends-soon', 'ended', 'retired']),
  pem: text,
});

export const session = v.strictObject({ person, openedAt: text, idleMinutes: number });

export const recordCard = v.strictObject({
  id: text,
  title: text,
  course: text,
  owner: person,
  entryCount: number,
  lockedCount: number,
  waitingCount: number,
  lastChangedAt: text,
});

const indexLine = v.strictObject({
  entryId: text,
  number,
  date: text,
  title: text,
  state,
  mark: text,
  studentInitials: text,
  instructorInitials: text,
  versionCount: number,
  openComments: number,
});
export const record = v.strictObject({ card: recordCard, lines: list(indexLine) });

const signature = v.strictObject({
  meaning,
  printedName: text,
  initials: text,
  role,
  signedAt: text,
  offsetMinutes: number,
  remark: text,
  n: number,
  hash: text,
  withdrawn: v.nullable(
    v.strictObject({ kind: v.picklist(['retired', 'compromised']), since: text, at: text }),
  ),
});
const version = v.strictObject({
  n: number,
  hash: text,
  author: text,
  reason: text,
  signatures: list(signature),
});
const permissions = v.strictObject({
  canEdit: flag,
  canSign: flag,
  canComment: flag,
  canReturn: flag,
  canCountersign: flag,
  canAmend: flag,
  canStrikeOut: flag,
});

export const comment = v.strictObject({
  id: text,
  entry: text,
  n: v.nullable(number),
  section,
  anchor: v.nullable(text),
  text,
  author: v.strictObject({ person: text, printedName: text, role }),
  at: text,
  isSettled: flag,
});

export const entry = v.strictObject({
  id: text,
  recordId: text,
  recordTitle: text,
  course: text,
  owner: person,
  number,
  state,
  mark: text,
  content: entryContent,
  revision: number,
  savedAt: text,
  versions: list(version),
  comments: list(comment),
  permissions,
  amendmentReason: v.nullable(text),
  strikeOutReason: v.nullable(text),
});

export const trayLine = v.strictObject({
  entryId: text,
  recordId: text,
  student: person,
  course: text,
  number,
  title: text,
  handedInAt: text,
  timesReturned: number,
  deviations: list(text),
  percentageYield: text,
  meltingRange: text,
});

export const signingText = v.strictObject({
  statement: text,
  lines: list(v.strictObject({ label: text, value: text })),
  warnings: list(text),
  versionHash: text,
});

const change = { path: text, old: text, new: text };
export const comparison = v.strictObject({
  from: number,
  to: v.nullable(number),
  differences: list(
    v.strictObject({ ...change, section: v.union([section, v.literal('title')]), label: text }),
  ),
});

export const trailLine = v.strictObject({
  seq: number,
  at: text,
  offsetMinutes: number,
  who: text,
  role: v.nullable(role),
  action: text,
  what: text,
  changes: list(v.strictObject(change)),
  reason: text,
  device: text,
  isClockBack: flag,
  hash: text,
});

export const checkReport = v.strictObject({
  isSound: flag,
  checked: list(v.strictObject({ what: text, count: number })),
  findings: list(
    v.strictObject({
      severity: v.picklist(['broken', 'doubtful', 'note']),
      code: text,
      place: text,
      sentence: text,
    }),
  ),
  trustworthy: text,
  head: text,
  headSeq: number,
  departmentFingerprint: text,
});

export const handIn = v.strictObject({
  sender: text,
  role,
  at: text,
  offsetMinutes: number,
  report: checkReport,
  refusal: v.nullable(text),
  lines: list(
    v.strictObject({
      entryId: text,
      number,
      title: text,
      owner: text,
      versionCount: number,
      outcome: v.picklist(['new', 'forward', 'nothing', 'conflict']),
      sentence: text,
    }),
  ),
});

export const deposit = v.strictObject({
  id: text,
  name: text,
  report: checkReport,
  records: list(
    v.strictObject({
      title: text,
      course: text,
      owner: text,
      institution: text,
      department: text,
      lines: list(
        v.strictObject({
          entryId: text,
          number,
          date: text,
          title: text,
          state,
          mark: text,
          versionCount: number,
          signers: list(v.strictObject({ role, initials: text })),
        }),
      ),
    }),
  ),
});

export const job = v.strictObject({
  id: text,
  kind: v.picklist([
    'entry-pdf',
    'record-pdf',
    'check',
    'deposit',
    'hand-in',
    'backup',
    'trail',
    'own-notebook',
  ]),
  state: v.picklist(['running', 'done', 'failed', 'cancelled']),
  progress: number,
  stage: text,
  problem: v.nullable(text),
  file: v.nullable(v.strictObject({ path: text, name: text, sizeBytes: number })),
  report: v.nullable(checkReport),
});

export const computedSnapshot = v.strictObject({
  engine: text,
  lines: v.array(v.strictObject({ id: text, title: text, value: text, unit: text, lines: v.array(text) })),
});
