/**
 * Arithmetic formulas over named terms, read once and kept. The language is the smallest that the
 * trade's formulas need: numbers, names, + - * / ^, unary minus, parentheses and the functions
 * sqrt ln log10 exp abs (one argument), min max (one or more).
 */

export type Operation =
  | { readonly op: 'number'; readonly value: number }
  | { readonly op: 'term'; readonly term: number }
  | {
      readonly op: 'add' | 'subtract' | 'multiply' | 'divide' | 'power' | 'min' | 'max';
      readonly left: number;
      readonly right: number;
    }
  | { readonly op: 'negate' | 'sqrt' | 'ln' | 'log10' | 'exp' | 'abs'; readonly left: number };

export interface Expression {
  readonly text: string;
  /** Names in order of first appearance. */
  readonly names: readonly string[];
  /** In the order they can be carried out; operands point back at earlier ones; the last is the result. */
  readonly operations: readonly Operation[];
}

const unaryFunctions = new Set(['sqrt', 'ln', 'log10', 'exp', 'abs']);
const listFunctions = new Set(['min', 'max']);
const tokenPattern = /\s*(?:(\d+(?:\.\d*)?(?:[eE][+-]?\d+)?|\.\d+)|([A-Za-z_][A-Za-z0-9_]*)|([-+*/^(),]))/y;

class Reader {
  readonly names: string[] = [];
  readonly operations: Operation[] = [];
  private readonly tokens: string[] = [];
  private at = 0;
  readonly text: string;

  constructor(text: string) {
    this.text = text;
    tokenPattern.lastIndex = 0;
    const end = text.trimEnd().length;
    while (tokenPattern.lastIndex < end) {
      const from = tokenPattern.lastIndex;
      const match = tokenPattern.exec(text);
      if (match === null) throw this.fault(`unreadable at ${from}`);
      this.tokens.push(match[1] ?? match[2] ?? match[3] ?? '');
    }
  }

  read(): Expression {
    this.sum();
    if (this.at < this.tokens.length) throw this.fault(`stray "${this.tokens[this.at] ?? ''}"`);
    return { text: this.text, names: this.names, operations: this.operations };
  }

  private fault(what: string): Error {
    return new Error(`formula "${this.text}": ${what}`);
  }

  private push(operation: Operation): number {
    return this.operations.push(operation) - 1;
  }

  private take(token: string): boolean {
    if (this.tokens[this.at] !== token) return false;
    this.at += 1;
    return true;
  }

  private need(token: string): void {
    if (!this.take(token)) throw this.fault(`"${token}" expected`);
  }

  private sum(): number {
    let left = this.product();
    for (;;) {
      if (this.take('+')) left = this.push({ op: 'add', left, right: this.product() });
      else if (this.take('-')) left = this.push({ op: 'subtract', left, right: this.product() });
      else return left;
    }
  }

  private product(): number {
    let left = this.signed();
    for (;;) {
      if (this.take('*')) left = this.push({ op: 'multiply', left, right: this.signed() });
      else if (this.take('/')) left = this.push({ op: 'divide', left, right: this.signed() });
      else return left;
    }
  }

  private signed(): number {
    if (this.take('-')) return this.push({ op: 'negate', left: this.signed() });
    return this.power();
  }

  /** Right-associative and stronger than the sign, as on paper: −x^2 is −(x²). */
  private power(): number {
    const left = this.atom();
    return this.take('^') ? this.push({ op: 'power', left, right: this.signed() }) : left;
  }

  private atom(): number {
    const token = this.tokens[this.at];
    if (token === undefined) throw this.fault('ends too early');
    this.at += 1;
    if (token === '(') {
      const inner = this.sum();
      this.need(')');
      return inner;
    }
    if (/^[.\d]/.test(token)) return this.push({ op: 'number', value: Number(token) });
    if (!/^[A-Za-z_]/.test(token)) throw this.fault(`"${token}" where a value belongs`);
    if (!this.take('(')) return this.push({ op: 'term', term: this.nameIndex(token) });
    return this.call(token);
  }

  private call(name: string): number {
    let result = this.sum();
    if (unaryFunctions.has(name)) {
      result = this.push({ op: name as 'sqrt', left: result });
    } else if (listFunctions.has(name)) {
      while (this.take(',')) result = this.push({ op: name as 'min', left: result, right: this.sum() });
    } else {
      throw this.fault(`no function "${name}"`);
    }
    this.need(')');
    return result;
  }

  private nameIndex(name: string): number {
    const known = this.names.indexOf(name);
    return known >= 0 ? known : this.names.push(name) - 1;
  }
}

const kept = new Map<string, Expression>();
const keptAtMost = 5_000;

/**
 * Reads a formula. Formulas are written by us, so a fault in one is a bug and throws.
 * The same text gives the same object again: reading costs nothing from the second time on.
 */
export function readExpression(text: string): Expression {
  const known = kept.get(text);
  if (known !== undefined) return known;
  const fresh = new Reader(text).read();
  // Formulas spelled with numbers of the user's making (molar masses) could pile up for ever.
  if (kept.size >= keptAtMost) kept.clear();
  kept.set(text, fresh);
  return fresh;
}
