import {
  blankOwnCompound,
  compounds,
  ownCompoundDifferences,
  ownCompoundDoubts,
  readOwnCompound,
  type OwnCompoundContent,
} from '../../../../core/compounds/index.ts';
import { tidyOwnCompound } from '../../../../core/compounds/tidy-own-compound.ts';
import type { OwnCompoundView } from '../../../../core/contract/own-compound-schema.ts';
import { structureFormula } from '../../../../core/formula/against-structure.ts';
import type { StructureComposition } from '../../../../core/formula/structure-composition.ts';
import type { Problem, Result } from '../../../../core/result.ts';
import { problemSentence } from '../../../../core/wording/index.ts';
import type { Client } from '../../../client/client.ts';
import { refusalSentence } from '../../../client/refusal-sentence.ts';
import { readStructure } from '../../../components/structure/read-structure.ts';

export type Writable<T> = T extends readonly (infer U)[]
  ? Writable<U>[]
  : T extends object
    ? { -readonly [K in keyof T]: Writable<T[K]> }
    : T;

/** A form being written, kept while one looks elsewhere in the library, until it is saved or given up. */
export class OwnForm {
  /** What the boxes hold. */
  content: Writable<OwnCompoundContent> = $state(
    structuredClone(blankOwnCompound) as Writable<OwnCompoundContent>,
  );
  reason = $state('');
  /** The form this one is written on top of; null for a compound that is new. */
  base: OwnCompoundView | null = $state.raw(null);
  /** A form somebody else saved meanwhile. */
  newer: OwnCompoundView | null = $state.raw(null);
  refusal = $state('');
  isSaving = $state(false);
  /** Missing things are told only once one tried to save: a form begins blank. */
  #isTried = $state(false);
  #structure: Result<StructureComposition, Problem> | null = $state.raw(null);

  constructor(base: OwnCompoundView | null) {
    this.base = base;
    if (base === null) return;
    this.content = structuredClone(base.content) as Writable<OwnCompoundContent>;
    // The box for names shows them with a semicolon between; the blank behind it is typed like the rest.
    this.content.synonyms = base.content.synonyms.map((name, index) => (index === 0 ? name : ` ${name}`));
  }

  get #plain(): OwnCompoundContent {
    return $state.snapshot(this.content);
  }

  readonly #read = $derived.by(() => readOwnCompound(this.#plain, this.#structure));

  readonly problems: readonly Problem[] = $derived.by(() => {
    if (this.#read.ok) return [];
    return this.#read.error.filter(({ code }) => this.#isTried || !code.endsWith('-missing'));
  });

  readonly doubts: readonly Problem[] = $derived.by(() => ownCompoundDoubts(this.#plain, compounds));

  readonly isChanged: boolean = $derived.by(
    () =>
      ownCompoundDifferences(this.base?.content ?? blankOwnCompound, tidyOwnCompound(this.#plain)).length > 0,
  );

  /** What is wrong at a box or anywhere below it, in words. */
  faultsAt(where: string): readonly string[] {
    return this.problems
      .filter((problem) => problem.where === where || problem.where.startsWith(`${where}.`))
      .map(problemSentence);
  }
  isFaulty(where: string): boolean {
    return this.problems.some((problem) => problem.where === where);
  }
  doubtsAt(where: string): readonly string[] {
    return this.doubts.filter((problem) => problem.where === where).map(problemSentence);
  }

  /** The formula of the structure, where the box for it says another or nothing; ions keep what was typed. */
  readonly formulaOffered: string | null = $derived.by(() => {
    const structure = this.#structure;
    if (structure?.ok !== true || structure.value.charge !== 0) return null;
    const own = structureFormula(structure.value);
    const isAsked = this.content.formula.trim() === '' || this.isFaulty('smiles');
    return isAsked ? own : null;
  });

  /** Counts the structure again; call it when the SMILES changed. */
  async countStructure(smiles: string): Promise<void> {
    const asked = smiles.trim();
    const counted = asked === '' ? null : await readStructure(asked);
    if (this.content.smiles.trim() === asked) this.#structure = counted;
  }

  /** @returns the form as saved, or null where it was refused: everything typed stays */
  async save(client: Client): Promise<OwnCompoundView | null> {
    this.#isTried = true;
    this.refusal = '';
    await this.countStructure(this.content.smiles);
    if (!this.#read.ok || this.isSaving) return null;
    this.isSaving = true;
    const saved = await client.ask('own-compound.save', {
      compoundId: this.base?.id ?? null,
      n: this.base?.n ?? 0,
      content: this.#read.value,
      reason: this.reason,
    });
    this.isSaving = false;
    if (saved.ok) return saved.value;
    this.refusal = refusalSentence(saved.error);
    if (saved.error.code === 'compound-changed-elsewhere' && this.base !== null) {
      const read = await client.ask('own-compound.read', { compoundId: this.base.id });
      if (read.ok) this.newer = read.value.versions.at(-1) ?? null;
    }
    return null;
  }

  /** Goes on with what was typed, on top of the form somebody else saved. */
  takeUp(newer: OwnCompoundView): void {
    this.base = newer;
    this.newer = null;
    this.refusal = '';
  }
}

/**
 * A form that outlives the page it was begun on: what it derives belongs to no component, so that errors and
 * changes are still told after one left the library and came back.
 */
export function beginOwnForm(base: OwnCompoundView | null): OwnForm {
  let form: OwnForm | undefined;
  $effect.root(() => {
    form = new OwnForm(base);
  });
  return form ?? new OwnForm(base);
}
