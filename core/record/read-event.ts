import type { Problem, Result } from '../result.ts';
import { ok } from '../result.ts';
import type { AuditEvent, Evidence, Role } from './objects.ts';
import { readObject } from './read-object.ts';
import { instant } from './shape.ts';
import { Cursor, longest, otherForm, OtherForm, type Piece } from './text-cursor.ts';

/** What a check needs of an event: everything but the words about it, whose form is checked all the same. */
export type TrailEvent = Omit<AuditEvent, 'changes' | 'device' | 'monotonicMs' | 'reason'>;

/**
 * Reads an event of the audit trail. A trail is by far the longest thing a check reads, and its canonical
 * text has one order of members and no white space: walking along it once, letter by letter, settles that
 * it is canonical, that it has the right shape, and what it says. Whatever this short way does not take
 * for certain goes the long way, which is the one that decides and that words what is wrong.
 *
 * @param memory of the same walk along a trail; what is read does not depend on it, only how soon
 * @error those of `readObject`
 */
export function readTrailEvent(
  bytes: string,
  memory: TrailMemory = new TrailMemory(),
): Result<TrailEvent, Problem> {
  const event = plainEvent(bytes, memory);
  return event === null ? readObject('event', bytes) : ok(event);
}

interface Middle {
  readonly evidence: readonly Evidence[];
  readonly isClockBack: boolean;
}
type Whose = Pick<TrailEvent, 'notebook' | 'object' | 'offsetMinutes'>;

/**
 * The pieces of the event before. One event after another has the same person at the same computer in the
 * same entry, and a piece that was read and stands there again says the same again: comparing is quicker.
 */
export class TrailMemory {
  head: Piece<Pick<TrailEvent, 'action' | 'actor'>> | null = null;
  middle: Piece<Middle> | null = null;
  whose: Piece<Whose> | null = null;
  reason: Piece<null> | null = null;
}

const roles: readonly string[] = ['student', 'instructor', 'department'];
const isInstant = (text: string): boolean => instant(text, '') === null;

/** 64 lower-case hexadecimal digits; in a loop, since a pattern takes ten times as long. */
function isHash(text: string): boolean {
  if (text.length !== 64) return false;
  for (let i = 0; i < 64; i += 1) {
    const code = text.charCodeAt(i);
    if (!((code >= 0x30 && code <= 0x39) || (code >= 0x61 && code <= 0x66))) return false;
  }
  return true;
}

function plainEvent(text: string, memory: TrailMemory): TrailEvent | null {
  if (text.length > longest) return null;
  try {
    return walk(new Cursor(text), memory);
  } catch (error) {
    if (error instanceof OtherForm) return null;
    throw error;
  }
}

/** The members in the order of RFC 8785 §3.2.3, with the bounds of `read-object.ts`. */
function walk(at: Cursor, memory: TrailMemory): TrailEvent {
  const head = (memory.head = at.piece(memory.head, readHead));
  const when = at.text(24);
  const changes = at.at;
  at.over(',"changes":[');
  passChanges(at);
  at.plain(changes);
  const middle = (memory.middle = at.piece(memory.middle, readMiddle));
  at.number();
  const whose = (memory.whose = at.piece(memory.whose, readWhose));
  const previous = at.text(64);
  memory.reason = at.piece(memory.reason, passReason);
  const seq = at.whole(1, Number.MAX_SAFE_INTEGER);
  at.over(',"type":"event"}');
  at.end();
  if (!isInstant(when) || !isHash(previous)) throw otherForm;
  const { action, actor } = head.says;
  const { evidence, isClockBack } = middle.says;
  const { notebook, object, offsetMinutes } = whose.says;
  return {
    action,
    actor,
    at: when,
    evidence,
    format: 1,
    isClockBack,
    notebook,
    object,
    offsetMinutes,
    previous,
    seq,
    type: 'event',
  };
}

function readHead(at: Cursor): Pick<TrailEvent, 'action' | 'actor'> {
  at.over('{"action":"');
  const action = at.text(400);
  at.over(',"actor":');
  const actor = readActor(at);
  at.over(',"at":"');
  return { action, actor };
}

function readMiddle(at: Cursor): Middle {
  at.over(',"device":"');
  at.pass(400);
  at.over(',"evidence":[');
  const evidence = readEvidence(at);
  at.over(',"format":1,"isClockBack":');
  const isClockBack = at.has('true');
  if (!isClockBack) at.over('false');
  at.over(',"monotonicMs":');
  return { evidence, isClockBack };
}

function readWhose(at: Cursor): Whose {
  at.over(',"notebook":"');
  const notebook = at.text(200);
  at.over(',"object":{"entry":');
  const entry = at.textOrNull(200);
  at.over(',"n":');
  const n = at.has('null') ? null : at.whole(1, Number.MAX_SAFE_INTEGER);
  at.over(',"record":');
  const record = at.textOrNull(200);
  at.over('},"offsetMinutes":');
  const offsetMinutes = at.whole(-14 * 60, 14 * 60);
  at.over(',"previous":"');
  return { notebook, object: { entry, n, record }, offsetMinutes };
}

function passReason(at: Cursor): null {
  at.over(',"reason":"');
  at.pass(longest);
  at.over(',"seq":');
  return null;
}

function readActor(at: Cursor): AuditEvent['actor'] {
  if (at.has('null')) return null;
  at.over('{"person":"');
  const person = at.text(200);
  at.over(',"printedName":"');
  const printedName = at.text(400);
  at.over(',"role":"');
  const role = at.text(20);
  at.over('}');
  if (!roles.includes(role)) throw otherForm;
  return { person, printedName, role: role as Role };
}

function passChanges(at: Cursor): void {
  if (at.has(']')) return;
  at.over('{"new":"');
  for (;;) {
    at.pass(longest);
    at.over(',"old":"');
    at.pass(longest);
    at.over(',"path":"');
    at.pass(2000);
    at.over('}');
    if (at.has(']')) return;
    at.over(',{"new":"');
  }
}

function readEvidence(at: Cursor): readonly Evidence[] {
  const list: Evidence[] = [];
  while (!at.has(']')) {
    at.over(list.length === 0 ? '{"hash":"' : ',{"hash":"');
    const of = at.text(64);
    at.over(',"id":"');
    const id = at.text(200);
    at.over(',"kind":"');
    const kind = at.text(400) as Evidence['kind'];
    at.over('}');
    if (!isHash(of)) throw otherForm;
    list.push({ hash: of, id, kind });
  }
  return list;
}
