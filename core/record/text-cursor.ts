/** Text without an escape or a control character: every string in it ends at the next quotation mark. */
const isPlain = (text: string): boolean => !/\\|[^ -\uffff]/.test(text) && text.isWellFormed();

/** Longer than nearly every event; what is longer goes the long way. */
export const longest = 20_000;

/** A piece of a text, letter for letter, and what it says. */
export interface Piece<T> {
  readonly text: string;
  readonly says: T;
}

/** The text is not of the one form that is read here; whether it is wrong, another way of reading decides. */
export class OtherForm extends Error {}
/** One for all: it says only that the long way is to be gone, and where it was made does not matter. */
export const otherForm = new OtherForm();

/** A place in a text that moves on as it is read; anything unexpected ends the reading. */
export class Cursor {
  readonly #text: string;
  #at = 0;

  constructor(text: string) {
    this.#text = text;
  }

  /** Passes over exactly this. */
  over(literal: string): void {
    if (!this.has(literal)) throw otherForm;
  }

  /** Passes over this if it is there. */
  has(literal: string): boolean {
    const end = this.#at + literal.length;
    // Half the time of `startsWith`.
    if (this.#text.slice(this.#at, end) !== literal) return false;
    this.#at = end;
    return true;
  }

  /** Passes over a piece that is known, or reads one. Reading one looks no further than the piece goes. */
  piece<T>(known: Piece<T> | null, read: (at: Cursor) => T): Piece<T> {
    if (known !== null && this.has(known.text)) return known;
    const from = this.#at;
    const says = read(this);
    return { text: this.plain(from), says };
  }

  /** What stands from there to here, if every string in it ended where it was taken to end. */
  plain(from: number): string {
    const text = this.#text.slice(from, this.#at);
    if (!isPlain(text)) throw otherForm;
    return text;
  }

  /** Where it stands, UTF-16 code units from the beginning. */
  get at(): number {
    return this.#at;
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
    const digits = this.#digits();
    if (digits !== null) return digits;
    const comma = this.#text.indexOf(',', this.#at);
    const written = this.#text.slice(this.#at, comma);
    const value = Number(written);
    if (comma < 0 || !Number.isFinite(value) || `${value}` !== written) throw otherForm;
    this.#at = comma;
    return value;
  }

  /** Most numbers: up to 15 digits, none of them a leading zero, which is how a whole number is written. */
  #digits(): number | null {
    let value = 0;
    let at = this.#at;
    for (; at - this.#at <= 15; at += 1) {
      const digit = this.#text.charCodeAt(at) - 0x30;
      if (!(digit >= 0 && digit <= 9)) break;
      value = value * 10 + digit;
    }
    const length = at - this.#at;
    if (length === 0 || length > 15 || this.#text.charCodeAt(at) !== 0x2c) return null;
    if (length > 1 && this.#text.charCodeAt(this.#at) === 0x30) return null;
    this.#at = at;
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
