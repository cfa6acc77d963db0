import type { SignatureView, TrailLine } from '../../contract/views.ts';
import { differencesBetween } from '../../record/differences.ts';
import { fingerprint } from '../../record/fingerprint.ts';
import { meaningLabel, roleLabel, statementOf, withdrawnWords } from '../../record/signing-statement.ts';
import type { Role } from '../../record/objects.ts';
import { textDifference } from '../../record/text-difference.ts';
import { whenText } from '../../record/when.ts';
import type { PrintedVersion } from '../bundle.ts';
import type { Block, Cell, Ink, Line, Run } from '../report-document.ts';
import {
  commentBlocks,
  nothingWritten,
  textBlocks,
  attachmentBlocks,
  sectionTitle,
} from '../report-context.ts';
import type { ReportContext } from '../report-context.ts';
import { bold, capital, plain, quiet, shortened } from '../runs.ts';

export function discussion(context: ReportContext): Block[] {
  const blocks = textBlocks(context.content.discussion, 'student', context);
  return [
    ...(blocks.length === 0 ? [nothingWritten] : blocks),
    ...attachmentBlocks('discussion', context),
    ...commentBlocks('discussion', context),
  ];
}

const inkOfRole: Readonly<Record<Role, Ink>> = {
  student: 'student',
  instructor: 'instructor',
  department: 'department',
};

/** The signatures on the version that is printed; those on earlier versions stand with these. */
export function signatures(context: ReportContext): Block[] {
  const { bundle } = context;
  const shown = bundle.versions.find((version) => version.n === bundle.shown.n);
  if (shown === undefined || shown.signatures.length === 0) {
    return [
      {
        kind: 'notice',
        title: 'Not signed',
        line: plain(
          `This is a draft as it stood on ${whenText(bundle.createdAt, bundle.offsetMinutes)}. Nobody has signed it.`,
        ),
      },
    ];
  }
  return shown.signatures.map((signature) => ({
    kind: 'signature',
    meaning: statementOf[signature.meaning],
    printedName: signature.printedName,
    initials: signature.initials,
    role: roleLabel[signature.role],
    when: whenText(signature.signedAt, signature.offsetMinutes),
    remark: plain(remarkText(signature)),
    covers: [
      `Signs version ${signature.n}, fingerprint ${fingerprint(shown.hash)}`,
      withdrawnWords(signature, signature.offsetMinutes),
    ]
      .filter((words) => words !== '')
      .join('; '),
    ink: inkOfRole[signature.role],
  }));
}

/** A countersignature's remark is the mark; others are the signer's own words. */
const remarkText = ({ meaning, remark }: SignatureView): string =>
  remark === '' ? '' : meaning === 'countersigned' ? `Mark: ${remark}` : `“${remark}”`;

/** All signed versions with who signed them, and what each changed of the one before. */
export function versions({ bundle }: ReportContext): Block[] {
  if (bundle.versions.length < 2) return [];
  const table: Block = {
    kind: 'table',
    density: 'normal',
    caption: null,
    columns: [
      { head: plain('Version'), align: 'right', share: 36 },
      { head: plain('Reason'), align: 'left', share: 128 },
      { head: plain('Signatures'), align: 'left', share: 189 },
      { head: plain('Fingerprint'), align: 'left', share: 112 },
    ],
    rows: bundle.versions.map((version) => [
      [bold(String(version.n))],
      [version.reason === '' ? quiet('first version') : plain(version.reason)],
      signers(version),
      [plain(fingerprint(version.hash))],
    ]),
  };
  const changes = bundle.versions.slice(1).flatMap((version, index) => {
    const before = bundle.versions[index];
    return before === undefined ? [] : changesBetween(before, version);
  });
  const print: Block = {
    kind: 'small-print',
    line: plain(
      'Every signed version is kept; none can be changed. Fingerprint: the first 80 bits of the SHA-256 of the version.',
    ),
  };
  return [print, table, ...changes];
}

const signers = (version: PrintedVersion): Cell =>
  version.signatures.flatMap((signature): Line[] => [
    [
      { text: `${meaningLabel[signature.meaning]} ` },
      {
        text: `${signature.printedName} (${signature.initials})`,
        ink: inkOfRole[signature.role],
        weight: 'bold',
      },
    ],
    quiet(whenText(signature.signedAt, signature.offsetMinutes)),
    ...(signature.remark === '' ? [] : [plain(remarkText(signature), { ink: inkOfRole[signature.role] })]),
  ]);

function changesBetween(before: PrintedVersion, after: PrintedVersion): Block[] {
  const differences = differencesBetween(before.content, after.content);
  const heading: Block = {
    kind: 'heading',
    level: 3,
    number: '',
    line: plain(`From version ${before.n} to version ${after.n}`),
  };
  if (differences.length === 0) {
    return [
      heading,
      {
        kind: 'paragraph',
        line: quiet('The same text was signed again; nothing differs.'),
        ink: 'print',
        mark: null,
      },
    ];
  }
  return [
    heading,
    {
      kind: 'table',
      density: 'normal',
      caption: null,
      columns: [
        { head: plain('Where'), align: 'left', share: 105 },
        { head: plain(`Version ${before.n}`), align: 'left', share: 180 },
        { head: plain(`Version ${after.n}`), align: 'left', share: 180 },
      ],
      rows: differences.map((difference) => {
        const [was, is] = passages(difference.old, difference.new);
        const place = difference.section === 'title' ? 'Title' : sectionTitle[difference.section];
        return [
          [
            plain(place),
            ...(difference.label.toLowerCase() === place.toLowerCase() ? [] : [quiet(difference.label)]),
          ],
          [was.length === 0 ? quiet('–') : was],
          [is.length === 0 ? quiet('–') : is],
        ];
      }),
    },
  ];
}

/** Unchanged words shown on either side of a change. */
const around = 48;

/** Both texts with what differs in bold, and long stretches that stayed left out. */
function passages(old: string, now: string): [was: Line, is: Line] {
  const pieces = textDifference(old, now);
  const was: Run[] = [];
  const is: Run[] = [];
  pieces.forEach((piece, index) => {
    if (piece.kind === 'removed') was.push({ text: piece.text, weight: 'bold' });
    else if (piece.kind === 'added') is.push({ text: piece.text, weight: 'bold' });
    else {
      const run: Run = { text: elided(piece.text, index > 0, index < pieces.length - 1), tone: 'quiet' };
      was.push(run);
      is.push(run);
    }
  });
  return [was, is];
}

/** Keeps what stands next to a change, cut at words. */
function elided(text: string, isAfter: boolean, isBefore: boolean): string {
  if (text.length <= around * 2 + 20) return text;
  const head = isAfter ? text.slice(0, around).replace(/\S*$/, '') : '';
  const tail = isBefore ? text.slice(-around).replace(/^\S*\s/, '') : '';
  return `${head}… ${tail}`;
}

const longestChange = 160;
/** Changes of one event that are told; the rest is counted. The exact ones are in the embedded data. */
const toldChanges = 6;

/** The entry's audit trail: who, when, from where, what, with old and new values. */
export function trail({ bundle }: ReportContext): Block[] {
  if (bundle.trail.length === 0) return [];
  return [
    {
      kind: 'small-print',
      line: plain(
        'Numbers count all events of the notebook; those of other entries are not shown. Each event carries the hash of the one before, so that none can be taken out or put in unnoticed.',
      ),
    },
    {
      kind: 'table',
      density: 'normal',
      caption: null,
      columns: [
        { head: plain('No.'), align: 'right', share: 30 },
        { head: plain('When'), align: 'left', share: 130 },
        { head: plain('Who'), align: 'left', share: 86 },
        { head: plain('What'), align: 'left', share: 219 },
      ],
      rows: bundle.trail.map((event) => [
        [plain(String(event.seq))],
        [
          plain(whenText(event.at, event.offsetMinutes)),
          ...(event.isClockBack ? [bold('▲ clock set back')] : []),
        ],
        [
          plain(event.who),
          quiet([event.role === null ? '' : roleLabel[event.role], event.device].filter(Boolean).join(', ')),
        ].filter((line) => line.length > 0),
        what(event),
      ]),
    },
  ];
}

function what(event: TrailLine): Cell {
  const told = event.changes.slice(0, toldChanges).map((change): Line => {
    const value = (text: string): string => (text === '' ? 'nothing' : `“${shortened(text, longestChange)}”`);
    return [
      { text: `${change.path}: `, tone: 'quiet' },
      { text: `${value(change.old)} → ${value(change.new)}` },
    ];
  });
  const left = event.changes.length - told.length;
  return [
    plain(capital(event.what)),
    ...(event.reason.trim() === '' ? [] : [plain(`Reason: ${event.reason.trim()}`, { style: 'italic' })]),
    ...told,
    ...(left > 0 ? [quiet(`and ${left} more`)] : []),
  ];
}
