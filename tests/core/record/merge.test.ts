import { describe, expect, it } from 'vitest';
import {
  planMerge,
  stateOf,
  type Arrival,
  type EntryKnowledge,
  type EntryPlan,
  type LocalEntry,
  type Receiver,
} from '../../../core/record/merge.ts';
import type { EntryState, Meaning } from '../../../core/record/objects.ts';

const version = (n: number, name = `v${n}`): { n: number; hash: string } => ({ n, hash: name });
const signed = (
  n: number,
  meaning: Meaning,
  name = `${meaning}-${n}`,
): EntryKnowledge['signatures'][number] => ({
  hash: name,
  n,
  meaning,
});
const entry = (changes: Partial<EntryKnowledge> = {}): EntryKnowledge => ({
  entry: 'e1',
  record: 'r1',
  owner: 'ada',
  number: 1,
  versions: [version(1)],
  signatures: [signed(1, 'performed')],
  ...changes,
});
const local = (state: EntryState, changes: Partial<EntryKnowledge> = {}): LocalEntry => ({
  ...entry(changes),
  state,
});
const receiver = (entries: readonly LocalEntry[] = [], changes: Partial<Receiver> = {}): Receiver => ({
  departmentKeys: new Set(['dept']),
  people: new Map([
    ['ada', { role: 'student' }],
    ['moss', { role: 'instructor' }],
  ]),
  entries: new Map(entries.map((one) => [one.entry, one])),
  records: new Map([['r1', { owner: 'ada' }]]),
  numbers: new Map([['r1', new Set(entries.map((one) => one.number))]]),
  seen: null,
  ...changes,
});
const arrival = (entries: readonly EntryKnowledge[], changes: Partial<Arrival> = {}): Arrival => ({
  departmentKey: 'dept',
  eventSeq: 20,
  eventHead: 'head20',
  sender: 'ada',
  entries,
  ...changes,
});
const planOf = (here: Receiver, coming: Arrival): EntryPlan => {
  const plan = planMerge(here, coming);
  if (!plan.ok) throw new Error(plan.refusal);
  return plan.entries[0]!;
};
const refusalOf = (here: Receiver, coming: Arrival): string => {
  const plan = planMerge(here, coming);
  return plan.ok ? 'taken' : plan.refusal;
};

describe('planMerge', () => {
  it('takes in an entry that is new here', () => {
    expect(planOf(receiver(), arrival([entry()]))).toEqual({
      kind: 'new',
      entry: 'e1',
      addVersions: ['v1'],
      addSignatures: ['performed-1'],
      state: 'signed',
      number: 1,
      note: null,
    });
  });

  it('gives the next free number when two computers used the same', () => {
    const here = receiver([local('signed', { entry: 'other' })]);
    expect(planOf(here, arrival([entry()]))).toMatchObject({ kind: 'new', number: 2, note: 'renumbered' });
  });

  it('takes nothing of another student’s entry from a student, however genuine its signatures', () => {
    const people = new Map([...receiver().people, ['ben', { role: 'student' as const }]]);
    const coming = arrival(
      [
        entry({
          versions: [version(1), version(2)],
          signatures: [signed(1, 'performed'), signed(2, 'performed')],
        }),
      ],
      { sender: 'ben' },
    );
    const here = receiver([local('returned')], { people });
    expect(planOf(here, coming)).toMatchObject({ kind: 'conflict', note: 'not-the-owner' });
    // An instructor, who could have reviewed it, sends it back.
    expect(planOf(here, { ...coming, sender: 'moss' }).kind).toBe('forward');
    // Of two students' entries in one file the sender's own are taken in.
    const both = planMerge(
      receiver([local('signed')], {
        people,
        records: new Map([
          ['r1', { owner: 'ada' }],
          ['r2', { owner: 'ben' }],
        ]),
      }),
      arrival([entry(), entry({ entry: 'e2', record: 'r2', owner: 'ben' })], { sender: 'ben' }),
    );
    expect(both.ok && both.entries.map((one) => one.kind)).toEqual(['conflict', 'new']);
  });

  it('changes nothing when the same is handed in twice', () => {
    expect(planOf(receiver([local('signed')]), arrival([entry()]))).toEqual({
      kind: 'nothing',
      entry: 'e1',
      note: 'handed-in-already',
    });
  });

  it('changes nothing when an older file comes again', () => {
    const here = receiver([
      local('signed', {
        versions: [version(1), version(2)],
        signatures: [signed(1, 'performed'), signed(2, 'performed')],
      }),
    ]);
    expect(planOf(here, arrival([entry()]))).toMatchObject({ kind: 'nothing', note: 'older-than-here' });
  });

  it('takes in a version that was signed after handing in', () => {
    const coming = entry({
      versions: [version(1), version(2)],
      signatures: [signed(1, 'performed'), signed(2, 'performed')],
    });
    expect(planOf(receiver([local('signed')]), arrival([coming]))).toMatchObject({
      kind: 'forward',
      addVersions: ['v2'],
      addSignatures: ['performed-2'],
      state: 'signed',
    });
  });

  it('keeps the return in the history when the student went on without it', () => {
    const here = receiver([
      local('returned', { signatures: [signed(1, 'performed'), signed(1, 'returned')] }),
    ]);
    const coming = entry({
      versions: [version(1), version(2)],
      signatures: [signed(1, 'performed'), signed(2, 'performed')],
    });
    expect(planOf(here, arrival([coming]))).toMatchObject({ kind: 'forward', state: 'signed' });
  });

  it('does not let an unaware new version undo a countersignature', () => {
    const here = receiver([
      local('countersigned', { signatures: [signed(1, 'performed'), signed(1, 'countersigned')] }),
    ]);
    const coming = entry({
      versions: [version(1), version(2)],
      signatures: [signed(1, 'performed'), signed(2, 'performed')],
    });
    expect(planOf(here, arrival([coming]))).toEqual({ kind: 'conflict', entry: 'e1', note: 'locked-here' });
  });

  it('takes in an amendment of a countersigned entry', () => {
    const both = [signed(1, 'performed'), signed(1, 'countersigned')];
    const coming = entry({ versions: [version(1), version(2)], signatures: [...both, signed(2, 'amended')] });
    const plan = planOf(receiver([local('countersigned', { signatures: both })]), arrival([coming]));
    expect(plan).toMatchObject({ kind: 'forward', addVersions: ['v2'], state: 'signed' });
  });

  it('takes in the review that is sent back, from somebody who is not the owner', () => {
    const coming = entry({ signatures: [signed(1, 'performed'), signed(1, 'countersigned')] });
    expect(planOf(receiver([local('signed')]), arrival([coming], { sender: 'moss' }))).toMatchObject({
      kind: 'forward',
      addVersions: [],
      addSignatures: ['countersigned-1'],
      state: 'countersigned',
    });
  });

  it('keeps a review of a version that was replaced meanwhile apart', () => {
    const here = receiver([
      local('signed', {
        versions: [version(1), version(2)],
        signatures: [signed(1, 'performed'), signed(2, 'performed')],
      }),
    ]);
    const coming = entry({ signatures: [signed(1, 'performed'), signed(1, 'countersigned')] });
    expect(planOf(here, arrival([coming], { sender: 'moss' }))).toMatchObject({
      kind: 'conflict',
      note: 'reply-to-older-version',
    });
  });

  it('does not choose between two decisions on one version', () => {
    const here = receiver([
      local('returned', { signatures: [signed(1, 'performed'), signed(1, 'returned')] }),
    ]);
    const coming = entry({ signatures: [signed(1, 'performed'), signed(1, 'countersigned')] });
    expect(planOf(here, arrival([coming], { sender: 'moss' }))).toMatchObject({
      kind: 'conflict',
      note: 'locked-here',
    });
  });

  it.each<[string, LocalEntry, EntryKnowledge, string]>([
    [
      'two different versions of one number',
      local('signed', { versions: [version(1, 'other')] }),
      entry(),
      'two-versions-of-one-number',
    ],
    [
      'a gap between what is here and what comes',
      local('signed'),
      entry({ versions: [version(3)], signatures: [signed(3, 'performed')] }),
      'versions-missing-between',
    ],
    ['the same entry in another record', local('signed', { record: 'r2' }), entry(), 'another-record'],
    [
      'an entry struck out here',
      local('struck-out'),
      entry({ versions: [version(1), version(2)] }),
      'struck-out-here',
    ],
  ])('keeps apart: %s', (_, here, coming, note) => {
    expect(planOf(receiver([here]), arrival([coming]))).toEqual({ kind: 'conflict', entry: 'e1', note });
  });

  it('keeps apart a record that belongs to somebody else here', () => {
    const here = receiver([], { records: new Map([['r1', { owner: 'ben' }]]) });
    expect(planOf(here, arrival([entry()]))).toMatchObject({ kind: 'conflict', note: 'another-owner' });
  });

  it('takes new entries only from their owner', () => {
    expect(planOf(receiver(), arrival([entry()], { sender: 'moss' }))).toMatchObject({
      kind: 'conflict',
      note: 'not-the-owner',
    });
  });

  it.each<[string, Receiver, Arrival, string]>([
    ['another department', receiver(), arrival([entry()], { departmentKey: 'else' }), 'another-department'],
    ['an unknown person', receiver(), arrival([entry()], { sender: 'eve' }), 'unknown-person'],
    ['an empty file', receiver(), arrival([]), 'nothing-inside'],
    [
      'a notebook with two histories',
      receiver([], { seen: { seq: 20, head: 'other20' } }),
      arrival([entry()]),
      'sender-forked',
    ],
    [
      'an older copy that went on',
      receiver([], { seen: { seq: 30, head: 'head30' } }),
      arrival([entry()]),
      'sender-rolled-back',
    ],
  ])('refuses %s as a whole', (_, here, coming, refusal) => {
    expect(refusalOf(here, coming)).toBe(refusal);
  });

  it('does not mind an older file that brings nothing new', () => {
    const here = receiver([local('signed')], { seen: { seq: 30, head: 'head30' } });
    expect(planOf(here, arrival([entry()]))).toMatchObject({ kind: 'nothing' });
  });

  it('never plans to take anything away, and is done after once', () => {
    const coming = entry({
      versions: [version(1), version(2)],
      signatures: [signed(1, 'performed'), signed(1, 'returned'), signed(2, 'performed')],
    });
    const plan = planOf(receiver(), arrival([coming]));
    if (plan.kind !== 'new') throw new Error(plan.kind);
    const after = receiver([{ ...coming, state: plan.state, number: plan.number }]);
    expect(planOf(after, arrival([coming]))).toMatchObject({ kind: 'nothing', note: 'handed-in-already' });
  });
});

describe('stateOf', () => {
  it.each([
    [[], false, 'draft'],
    [['performed'], true, 'signed'],
    [['performed', 'returned'], true, 'returned'],
    [['amended', 'countersigned'], true, 'countersigned'],
  ] as const)('%j', (meanings, hasVersions, state) => {
    expect(stateOf(new Set<Meaning>(meanings), hasVersions)).toBe(state);
  });
});
