import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  decide,
  entryActions,
  isLocked,
  life,
  meaningsOf,
  permissionsFor,
  type EntryAction,
  type Situation,
} from '../../../core/record/life.ts';
import type { EntryState, Role } from '../../../core/record/objects.ts';

const states: readonly EntryState[] = [
  'draft',
  'signed',
  'returned',
  'countersigned',
  'amending',
  'struck-out',
];
const detail = { reason: 'a reason', text: 'a remark' };

/**
 * Who may do what, when: written out by hand from the description of the life of an entry, and not
 * derived from `life`. S: the owner (a student). I: an instructor who is not the owner.
 */
const allowed: Readonly<Record<EntryState, Readonly<Record<EntryAction, string>>>> = {
  draft: {
    save: 'S',
    sign: 'S',
    return: '',
    countersign: '',
    amend: '',
    'abandon-amendment': '',
    'strike-out': 'S',
    comment: '',
    'settle-comment': '',
  },
  signed: {
    save: '',
    sign: '',
    return: 'I',
    countersign: 'I',
    amend: '',
    'abandon-amendment': '',
    'strike-out': '',
    comment: 'SI',
    'settle-comment': 'SI',
  },
  returned: {
    save: 'S',
    sign: 'S',
    return: '',
    countersign: '',
    amend: '',
    'abandon-amendment': '',
    'strike-out': 'S',
    comment: 'SI',
    'settle-comment': 'SI',
  },
  countersigned: {
    save: '',
    sign: '',
    return: '',
    countersign: '',
    amend: 'S',
    'abandon-amendment': '',
    'strike-out': '',
    comment: '',
    'settle-comment': '',
  },
  amending: {
    save: 'S',
    sign: 'S',
    return: '',
    countersign: '',
    amend: '',
    'abandon-amendment': 'S',
    'strike-out': '',
    comment: 'SI',
    'settle-comment': 'SI',
  },
  'struck-out': {
    save: '',
    sign: '',
    return: '',
    countersign: '',
    amend: '',
    'abandon-amendment': '',
    'strike-out': '',
    comment: '',
    'settle-comment': '',
  },
};

interface Who {
  readonly role: Role;
  readonly isOwner: boolean;
  readonly isSigner: boolean;
  readonly letter: string;
}
const everyone: readonly Who[] = [
  { role: 'student', isOwner: true, isSigner: true, letter: 'S' },
  { role: 'student', isOwner: true, isSigner: false, letter: 'S' },
  { role: 'student', isOwner: false, isSigner: false, letter: '-' },
  { role: 'instructor', isOwner: false, isSigner: false, letter: 'I' },
  // An instructor's own entry is that of any owner; one they signed they do not review either.
  { role: 'instructor', isOwner: true, isSigner: true, letter: 'S' },
  { role: 'instructor', isOwner: false, isSigner: true, letter: '-' },
  { role: 'department', isOwner: false, isSigner: false, letter: '-' },
  { role: 'department', isOwner: true, isSigner: true, letter: '-' },
];

describe('decide', () => {
  for (const state of states) {
    for (const action of entryActions) {
      it(`${action} in the state ${state}: ${allowed[state][action] || 'nobody'}`, () => {
        for (const who of everyone) {
          const situation: Situation = { ...who, state, versionCount: 1, wasCountersigned: false };
          const decision = decide(action, situation, detail);
          expect(decision.ok, JSON.stringify(who)).toBe(allowed[state][action].includes(who.letter));
        }
      });
    }
  }

  it.each([
    ['amend', 'countersigned', {}, 'reason-missing'],
    ['amend', 'countersigned', { reason: '  \n' }, 'reason-missing'],
    ['strike-out', 'draft', {}, 'reason-missing'],
    ['comment', 'signed', { text: ' ' }, 'comment-missing'],
    ['save', 'signed', {}, 'entry-locked'],
    ['save', 'countersigned', {}, 'entry-locked'],
    ['amend', 'signed', detail, 'not-locked'],
  ] as const)('%s in %s with %o is refused as %s', (action, state, given, code) => {
    const situation: Situation = {
      state,
      role: 'student',
      isOwner: true,
      isSigner: true,
      versionCount: 1,
      wasCountersigned: false,
    };
    expect(decide(action, situation, given)).toMatchObject({ ok: false, error: { code } });
  });

  it('returns only with a remark or an open comment', () => {
    const situation: Situation = {
      state: 'signed',
      role: 'instructor',
      isOwner: false,
      isSigner: false,
      versionCount: 1,
      wasCountersigned: false,
    };
    expect(decide('return', situation, { text: '' })).toMatchObject({
      ok: false,
      error: { code: 'comment-missing' },
    });
    expect(decide('return', situation, { text: '', openComments: 1 }).ok).toBe(true);
    expect(decide('return', situation, { text: 'see page 2' }).ok).toBe(true);
  });

  it('never strikes out what was once countersigned, not even while its amendment is returned', () => {
    const situation: Situation = {
      state: 'returned',
      role: 'student',
      isOwner: true,
      isSigner: false,
      versionCount: 2,
      wasCountersigned: true,
    };
    expect(decide('strike-out', situation, detail)).toMatchObject({
      ok: false,
      error: { code: 'entry-locked' },
    });
    expect(decide('strike-out', { ...situation, wasCountersigned: false }, detail).ok).toBe(true);
    expect(permissionsFor(situation).canStrikeOut).toBe(false);
    expect(permissionsFor(situation).canSign).toBe(true);
  });
});

describe('the life of an entry under any sequence of commands', () => {
  interface Model {
    state: EntryState;
    versions: number;
    countersigned: number;
    authorOfVersion: string | null;
    wasStruckOut: boolean;
  }
  const people = [
    { name: 'owner', role: 'student', isOwner: true },
    { name: 'other', role: 'student', isOwner: false },
    { name: 'moss', role: 'instructor', isOwner: false },
    { name: 'reed', role: 'instructor', isOwner: false },
    { name: 'dean', role: 'department', isOwner: false },
  ] as const;

  it('never reaches a forbidden state', () => {
    const command = fc.record({
      action: fc.constantFrom(...entryActions),
      person: fc.constantFrom(...people),
      hasWords: fc.boolean(),
    });
    fc.assert(
      fc.property(fc.array(command, { maxLength: 60 }), (commands) => {
        const model: Model = {
          state: 'draft',
          versions: 0,
          countersigned: 0,
          authorOfVersion: null,
          wasStruckOut: false,
        };
        for (const { action, person, hasWords } of commands) {
          const before = { ...model };
          const decision = decide(
            action,
            {
              state: model.state,
              role: person.role,
              isOwner: person.isOwner,
              isSigner: model.authorOfVersion === person.name,
              versionCount: model.versions,
              wasCountersigned: model.countersigned > 0,
            },
            hasWords ? detail : {},
          );
          if (!decision.ok) continue;
          model.state = decision.value;
          if (action === 'sign') {
            model.versions += 1;
            model.authorOfVersion = person.name;
          }
          if (action === 'countersign') model.countersigned += 1;
          if (action === 'strike-out') model.wasStruckOut = true;

          // Rules of the trade, stated independently of the table.
          expect(person.role).not.toBe('department');
          if (before.state === 'countersigned') expect(action).toBe('amend');
          if (before.wasStruckOut) throw new Error('a struck-out entry changed');
          if (isLocked(before.state)) expect(['save', 'sign']).not.toContain(action);
          if (model.state === 'countersigned') expect(model.countersigned).toBeGreaterThan(0);
          if (['countersign', 'return'].includes(action)) {
            expect(person.name).not.toBe(before.authorOfVersion);
            expect(before.versions).toBeGreaterThan(0);
            expect(person.role).toBe('instructor');
          }
          if (action === 'save') expect(person.isOwner).toBe(true);
          if (model.state === 'signed') expect(model.versions).toBeGreaterThan(0);
          if (action === 'strike-out') expect(before.countersigned).toBe(0);
        }
      }),
      { numRuns: 2000 },
    );
  });
});

describe('permissionsFor', () => {
  it('shows a button exactly when decide allows it', () => {
    for (const state of states) {
      for (const who of everyone) {
        const situation: Situation = { ...who, state, versionCount: 1, wasCountersigned: false };
        const may = (action: EntryAction): boolean => allowed[state][action].includes(who.letter);
        expect(permissionsFor(situation)).toEqual({
          canEdit: may('save'),
          canSign: may('sign'),
          canComment: may('comment'),
          canReturn: may('return'),
          canCountersign: may('countersign'),
          canAmend: may('amend'),
          canStrikeOut: may('strike-out'),
        });
      }
    }
  });
});

describe('life', () => {
  it('leads out of a locked entry only by an amendment and out of a struck-out one not at all', () => {
    const leaving = (state: EntryState): readonly string[] =>
      entryActions.filter((action) => life[action].from.includes(state) && life[action].to !== null);
    expect(leaving('countersigned')).toEqual(['amend']);
    expect(leaving('struck-out')).toEqual([]);
  });

  it('lets no role sign with both an author’s and a department’s meaning', () => {
    expect(meaningsOf.student).not.toContain('countersigned');
    expect(meaningsOf.department).toEqual(['deposited']);
  });
});
