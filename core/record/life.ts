import type { EntryPermissions } from '../contract/views.ts';
import { fail, ok, type Problem, type Result } from '../result.ts';
import type { EntryState, Meaning, Role } from './objects.ts';

/** What can be done to an entry once it has been begun. */
export const entryActions = [
  'save',
  'sign',
  'return',
  'countersign',
  'amend',
  'abandon-amendment',
  'strike-out',
  'comment',
  'settle-comment',
] as const;
export type EntryAction = (typeof entryActions)[number];

/** Who stands where towards an entry. */
export interface Situation {
  readonly state: EntryState;
  /** Role of the person now signed in. */
  readonly role: Role;
  /** True when the record is their own. */
  readonly isOwner: boolean;
  /** True when they signed the current version as performed or amended; never true for a draft. */
  readonly isSigner: boolean;
  /** Versions signed so far. */
  readonly versionCount: number;
  /** True when any version was ever countersigned: what was accepted is amended, never struck out. */
  readonly wasCountersigned: boolean;
}

type Party = 'owner' | 'reviewer';

interface Rule {
  readonly from: readonly EntryState[];
  /** Null: the state stays as it is. */
  readonly to: EntryState | null;
  /** owner: the person whose record it is. reviewer: an instructor who is not. */
  readonly by: readonly Party[];
}

/**
 * The life of an entry, as data. Nothing leads out of `countersigned` but an amendment, nothing leads
 * out of `struck-out`, and the department, which certifies and archives, appears nowhere.
 */
export const life: Readonly<Record<EntryAction, Rule>> = {
  save: { from: ['draft', 'returned', 'amending'], to: null, by: ['owner'] },
  sign: { from: ['draft', 'returned', 'amending'], to: 'signed', by: ['owner'] },
  return: { from: ['signed'], to: 'returned', by: ['reviewer'] },
  countersign: { from: ['signed'], to: 'countersigned', by: ['reviewer'] },
  amend: { from: ['countersigned'], to: 'amending', by: ['owner'] },
  'abandon-amendment': { from: ['amending'], to: 'countersigned', by: ['owner'] },
  'strike-out': { from: ['draft', 'returned'], to: 'struck-out', by: ['owner'] },
  comment: { from: ['signed', 'returned', 'amending'], to: null, by: ['owner', 'reviewer'] },
  'settle-comment': { from: ['signed', 'returned', 'amending'], to: null, by: ['owner', 'reviewer'] },
};

/** States in which the entry refuses every change to what it says. */
export const isLocked = (state: EntryState): boolean =>
  state === 'signed' || state === 'countersigned' || state === 'struck-out';

function party(situation: Situation): Party | null {
  switch (situation.role) {
    case 'department':
      return null;
    case 'student':
      return situation.isOwner ? 'owner' : null;
    case 'instructor':
      if (situation.isOwner) return 'owner';
      // Whoever signed a version as their own work does not review it, whosever record it is in.
      return situation.isSigner ? null : 'reviewer';
  }
}

/** What an action still has to bring with it. */
export interface ActionDetail {
  /** Why: of an amendment or of striking out. */
  readonly reason?: string;
  /** Text of the comment, or what the entry is returned with. */
  readonly text?: string;
  /** Open comments on the version, which a return may rest on instead of a remark. */
  readonly openComments?: number;
}

const isBlank = (text: string | undefined): boolean => text === undefined || text.trim() === '';

/**
 * May this be done, and what state follows?
 *
 * @returns the state after the action
 * @error not-allowed (the wrong person), entry-locked (the wrong time), not-locked (amending what is
 *   not countersigned), reason-missing, comment-missing
 */
export function decide(
  action: EntryAction,
  situation: Situation,
  detail: ActionDetail = {},
): Result<EntryState, Problem> {
  const refuse = (code: string, where = ''): Result<EntryState, Problem> =>
    fail({ code, where, facts: { action, state: situation.state, role: situation.role } });
  const rule = life[action];
  const who = party(situation);
  if (who === null || !rule.by.includes(who)) return refuse('not-allowed');
  if (!rule.from.includes(situation.state)) {
    return refuse(action === 'amend' || action === 'abandon-amendment' ? 'not-locked' : 'entry-locked');
  }
  if (action === 'strike-out' && situation.wasCountersigned) return refuse('entry-locked');
  if ((action === 'amend' || action === 'strike-out') && isBlank(detail.reason)) {
    return refuse('reason-missing', 'reason');
  }
  if (action === 'comment' && isBlank(detail.text)) return refuse('comment-missing', 'text');
  if (action === 'return' && isBlank(detail.text) && !((detail.openComments ?? 0) > 0)) {
    return refuse('comment-missing', 'remark');
  }
  return ok(rule.to ?? situation.state);
}

/** What the person now signed in may do: `decide`, asked for every button of the screen. */
export function permissionsFor(situation: Situation): EntryPermissions {
  const may = (action: EntryAction): boolean =>
    decide(action, situation, { reason: 'any', text: 'any', openComments: 1 }).ok;
  return {
    canEdit: may('save'),
    canSign: may('sign'),
    canComment: may('comment'),
    canReturn: may('return'),
    canCountersign: may('countersign'),
    canAmend: may('amend'),
    canStrikeOut: may('strike-out'),
  };
}

/** Meanings each role may sign with; a version's own author is held off reviewing by `party`. */
export const meaningsOf: Readonly<Record<Role, readonly Meaning[]>> = {
  student: ['performed', 'amended'],
  instructor: ['performed', 'amended', 'returned', 'countersigned'],
  department: ['deposited'],
};

/** Meaning of the author's signature on the next version. */
export const authorMeaning = (state: EntryState, wasEverCountersigned: boolean): 'performed' | 'amended' =>
  state === 'amending' || wasEverCountersigned ? 'amended' : 'performed';

/** True for a state in which others than the owner see the last signed version, never the draft. */
export const showsDraftTo = (situation: Situation): boolean =>
  life.save.from.includes(situation.state) && party(situation) === 'owner';
