import type { Problem, Result } from '../result.ts';
import { ok } from '../result.ts';
import type { AuditEvent, Evidence, Role } from './objects.ts';
import { readObject } from './read-object.ts';
import { instant } from './shape.ts';

/** What a check needs of an event: everything but the words about it, whose form is checked all the same. */
export type TrailEvent = Omit<AuditEvent, 'changes' | 'device' | 'monotonicMs' | 'reason'>;

/**
 * Reads an event of the audit trail. A trail is by far the longest thing a check reads, and its canonical
 * text has one order of members and no white space: walking along it once, letter by letter, settles that
 * it is canonical, that it has the right shape, and what it says. Whatever this short way does not take
 * for certain goes the long way, which is the one that decides and that words what is wrong.
 *
 * @error those of `readObject`
 */
export function readTrailEvent(bytes: string): Result<TrailEvent, Problem> {
  const event = plainEvent(bytes);
  return event === null ? readObject('event', bytes) : ok(event);
}

/** Text without an escape or a control character: every string in it ends at the next quotation mark. */
const isPlain = (text: string): boolean => !/\\|[^ -\uffff]/.test(text) && text.isWellFormed();

/** Longer than nearly every event; what is longer goes the long way. */
const longest = 20_000;

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

class OtherForm extends Error {}
/** One for all: it says only that the long way is to be gone, and where it was made does not matter. */
const otherForm = new OtherForm();

/** A place in a text that moves on as it is read; anything unexpected ends the reading. */
class Cursor {
  readonly #text: string;
  #at = 0;

  constructor(text: string) {
    this.#text = text;
  }

  /** Passes over exactly this. */
  over(literal: string): void {
    if (!this.#text.startsWith(literal, this.#at)) throw otherForm;
    this.#at += literal.length;
  }

  /** Passes over this if it is there. */
  has(literal: string): boolean {
    if (!this.#text.startsWith(literal, this.#at)) return false;
    this.#at += literal.length;
    return true;
  }

  /** What stands up to the closing quotation mark, which is passed over. */
  text(most: number): string {
    const end = this.#text.indexOf('"', this.#at);
    if (end < 0 || end - this.#at > most) throw otherForm;
    const text = this.#text.slice(this.#at, end);
    this.#at = end + 1;
    return text;
  }

  /** Passes over a text of no interest and its closing quotation mark. */
  pass(most: number): void {
    const end = this.#text.indexOf('"', this.#at);
    if (end < 0 || end - this.#at > most) throw otherForm;
    this.#at = end + 1;
  }

  /** A number as ECMAScript writes it (RFC 8785 §3.2.2.3). */
  number(): number {
    const comma = this.#text.indexOf(',', this.#at);
    const written = this.#text.slice(this.#at, comma);
    const value = Number(written);
    if (comma < 0 || !Number.isFinite(value) || `${value}` !== written) throw otherForm;
    this.#at = comma;
    return value;
  }

  whole(least: number, most: number): number {
    const value = this.number();
    if (!Number.isInteger(value) || value < least || value > most) throw otherForm;
    return value;
  }

  textOrNull(most: number): string | null {
    if (this.has('null')) return null;
    this.over('"');
    return this.text(most);
  }

  end(): void {
    if (this.#at !== this.#text.length) throw otherForm;
  }
}

function plainEvent(text: string): TrailEvent | null {
  if (text.length > longest || !isPlain(text)) return null;
  try {
    return walk(new Cursor(text));
  } catch (error) {
    if (error instanceof OtherForm) return null;
    throw error;
  }
}

/** The members in the order of RFC 8785 §3.2.3, with the bounds of `read-object.ts`. */
function walk(at: Cursor): TrailEvent {
  at.over('{"action":"');
  const action = at.text(400);
  at.over(',"actor":');
  const actor = readActor(at);
  at.over(',"at":"');
  const when = at.text(24);
  at.over(',"changes":[');
  passChanges(at);
  at.over(',"device":"');
  at.pass(400);
  at.over(',"evidence":[');
  const evidence = readEvidence(at);
  at.over(',"format":1,"isClockBack":');
  const isClockBack = at.has('true');
  if (!isClockBack) at.over('false');
  at.over(',"monotonicMs":');
  at.number();
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
  const previous = at.text(64);
  at.over(',"reason":"');
  at.pass(longest);
  at.over(',"seq":');
  const seq = at.whole(1, Number.MAX_SAFE_INTEGER);
  at.over(',"type":"event"}');
  at.end();
  if (!isInstant(when) || !isHash(previous)) throw otherForm;
  return {
    action,
    actor,
    at: when,
    evidence,
    format: 1,
    isClockBack,
    notebook,
    object: { entry, n, record },
    offsetMinutes,
    previous,
    seq,
    type: 'event',
  };
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
