import { hillFormula } from '../formula/hill.ts';
import { parseFormula } from '../formula/parse-formula.ts';
import type { Compound } from './compound.ts';
import { editDistance, plainName, trigramsOf } from './spelling.ts';

/** One of a compound's names, ready to be compared. */
interface IndexedName {
  readonly compound: number;
  readonly text: string;
  readonly words: readonly string[];
  /** How many different ones it has. */
  readonly trigrams: number;
  /** A synonym yields to a name that fits equally well. */
  readonly isSynonym: boolean;
}

interface Index {
  readonly names: readonly IndexedName[];
  /** Names by trigram: only those that share one with the query are compared letter by letter. */
  readonly byTrigram: ReadonlyMap<string, readonly number[]>;
  readonly byFormula: ReadonlyMap<string, readonly number[]>;
  /** Of the part before the hydrate dot: `CuSO4` also finds the pentahydrate, after the anhydrous salt. */
  readonly byAnhydrous: ReadonlyMap<string, readonly number[]>;
}

function add<K>(map: Map<K, number[]>, key: K, value: number): void {
  const list = map.get(key);
  if (list === undefined) map.set(key, [value]);
  else if (list.at(-1) !== value) list.push(value);
}

const composition = (text: string): string | null => {
  const formula = parseFormula(text);
  return formula.ok ? hillFormula(formula.value) : null;
};

/** What a search looks at. */
type Findable = Pick<Compound, 'name' | 'synonyms' | 'formula' | 'registryNumber'>;

function makeIndex(list: readonly Findable[]): Index {
  const names: IndexedName[] = [];
  const byTrigram = new Map<string, number[]>();
  const byFormula = new Map<string, number[]>();
  const byAnhydrous = new Map<string, number[]>();
  for (const [compound, { name, synonyms, formula }] of list.entries()) {
    for (const [place, one] of [name, ...synonyms].entries()) {
      const text = plainName(one);
      const trigrams = trigramsOf(text);
      const isSynonym = place > 0;
      for (const trigram of trigrams) add(byTrigram, trigram, names.length);
      names.push({ compound, text, words: text.split(' '), trigrams: trigrams.size, isSynonym });
    }
    const whole = composition(formula);
    if (whole !== null) add(byFormula, whole, compound);
    const [first = ''] = formula.split('·');
    const anhydrous = formula.includes('·') ? composition(first) : null;
    if (anhydrous !== null) add(byAnhydrous, anhydrous, compound);
  }
  return { names, byTrigram, byFormula, byAnhydrous };
}

/**
 * How well a name fits, 0 to 1; 0 is no fit. The steps are a matter of taste, not of measurement.
 *
 * @param trigrams of the query @param shared of them that the name has too
 */
function fit(query: string, trigrams: number, shared: number, name: IndexedName): number {
  const { text } = name;
  if (text === query) return 1;
  // The shorter of two names that both begin so is the likelier one.
  const closeness = query.length / text.length;
  if (text.startsWith(query)) return 0.85 + 0.1 * closeness;
  if (name.words.includes(query)) return 0.8 + 0.1 * closeness;
  if (name.words.some((word) => word.startsWith(query))) return 0.7 + 0.1 * closeness;
  if (query.length >= 3 && text.includes(query)) return 0.6 + 0.1 * closeness;
  // Below four letters everything resembles everything.
  if (query.length < 4) return 0;
  const allowed = query.length < 6 ? 1 : Math.min(4, Math.floor(query.length / 4) + 1);
  const distance = editDistance(query, text, allowed);
  if (distance <= allowed) return 0.6 - 0.35 * (distance / query.length);
  // A beginning typed wrongly: compare with as much of the name as was typed.
  const beginning = editDistance(query, text.slice(0, query.length), allowed);
  if (beginning <= allowed) return 0.5 - 0.35 * (beginning / query.length);
  const wordDistance = Math.min(...name.words.map((word) => editDistance(query, word, allowed)));
  if (wordDistance <= allowed) return 0.45 - 0.35 * (wordDistance / query.length);
  const likeness = (2 * shared) / (trigrams + name.trigrams);
  return likeness >= 0.5 ? 0.4 * likeness : 0;
}

/**
 * A search over a list of compounds, its index built once.
 *
 * By name or synonym (forgiving of spelling, hyphens, accents and `sulph` for `sulf`), by formula in
 * any order of the atoms, and by registry number or its beginning.
 */
export class CompoundSearch<C extends Findable = Compound> {
  readonly #list: readonly C[];
  readonly #index: Index;

  constructor(list: readonly C[]) {
    this.#list = list;
    this.#index = makeIndex(list);
  }

  /** @returns at most `limit` compounds, the best fit first; none for a blank query */
  find(query: string, limit: number): readonly C[] {
    // Nobody types a name longer than this; what is pasted is cut, so that time stays bounded.
    const typed = query.trim().slice(0, 120);
    if (typed === '' || !(limit >= 1)) return [];
    const scores = new Map<number, number>();
    const raise = (compound: number, score: number): void => {
      if (score > (scores.get(compound) ?? 0)) scores.set(compound, score);
    };
    this.#byRegistryNumber(typed, raise);
    this.#byFormula(typed, raise);
    this.#byName(plainName(typed), raise);
    return [...scores]
      .sort(([one, a], [other, b]) => b - a || one - other)
      .slice(0, Math.floor(limit))
      .flatMap(([place]) => this.#list[place] ?? []);
  }

  #byRegistryNumber(typed: string, raise: (compound: number, score: number) => void): void {
    if (!/^\d{2,7}(-\d{0,2}(-\d?)?)?$/.test(typed)) return;
    for (const [place, { registryNumber }] of this.#list.entries()) {
      if (registryNumber === typed) raise(place, 1.2);
      else if (registryNumber?.startsWith(typed) === true) raise(place, 0.9);
    }
  }

  #byFormula(typed: string, raise: (compound: number, score: number) => void): void {
    const wanted = composition(typed);
    if (wanted === null) return;
    // A name that happens to read as a formula (`tin`) must not lose to it, hence below a full fit.
    for (const place of this.#index.byFormula.get(wanted) ?? []) raise(place, 0.99);
    for (const place of this.#index.byAnhydrous.get(wanted) ?? []) raise(place, 0.97);
  }

  #byName(query: string, raise: (compound: number, score: number) => void): void {
    const { names, byTrigram } = this.#index;
    const trigrams = trigramsOf(query);
    const shared = new Map<number, number>();
    for (const trigram of trigrams) {
      for (const place of byTrigram.get(trigram) ?? []) shared.set(place, (shared.get(place) ?? 0) + 1);
    }
    // A slip touches three trigrams at most: what shares fewer than these is no misspelling of it.
    const least = trigrams.size / 5;
    for (const [place, count] of shared) {
      const name = names[place];
      if (name === undefined || count < least) continue;
      const score = fit(query, trigrams.size, count, name);
      if (score > 0) raise(name.compound, name.isSynonym ? score * 0.95 : score);
    }
  }
}
