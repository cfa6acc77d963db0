import {
  compoundById,
  compounds,
  CompoundSearch,
  hazardNoteOf,
  ownCompoundAsCompound,
  ownSourceText,
  rowFromCompound,
  sources,
} from '../../core/compounds/index.ts';
import type { Compound } from '../../core/compounds/compound.ts';
import type { OwnCompoundView } from '../../core/contract/own-compound-schema.ts';
import type { ReagentRow, RowRole } from '../../core/reaction/table-types.ts';
import type { HazardNote } from '../../core/record/content.ts';
import type { Client } from './client.ts';

/** A compound of the shipped library, or of the department's own with the form it was taken from. */
export interface BookCompound {
  /** `source` is a key of the shipped sources, or, with `own`, the department's words. */
  readonly compound: Compound<string>;
  readonly own: OwnCompoundView | null;
}

/** Where a value of a compound comes from, in words. */
export function sourceText(source: string, own: OwnCompoundView | null): string {
  if (own !== null || !Object.hasOwn(sources, source)) return source;
  return sources[source as keyof typeof sources];
}

const shipped: readonly BookCompound[] = compounds.map((compound) => ({ compound, own: null }));
const findable = (one: BookCompound) => ({ ...one.compound, entry: one });

/** What can be looked up: the shipped library and the department's own compounds, in one search. */
export class CompoundBook {
  readonly #client: Client;
  #own: readonly BookCompound[] = $state.raw([]);
  #search: CompoundSearch<ReturnType<typeof findable>> | null = null;
  /** False until the department's own were read once. */
  isRead = $state(false);

  constructor(client: Client) {
    this.#client = client;
  }

  /** Reads the department's own anew; what was read before stays where that is refused. */
  async refresh(): Promise<void> {
    const read = await this.#client.ask('own-compound.list', {});
    if (read.ok) {
      this.#search = null;
      this.#own = read.value.compounds.map((own) => ({
        compound: ownCompoundAsCompound(own.id, own.content),
        own,
      }));
    }
    this.isRead = true;
  }

  /** The department's own, withdrawn ones last, each group by name. */
  get own(): readonly BookCompound[] {
    const withdrawn = (one: BookCompound): number => (one.own?.isWithdrawn === true ? 1 : 0);
    return this.#own.toSorted(
      (a, b) => withdrawn(a) - withdrawn(b) || a.compound.name.localeCompare(b.compound.name, 'en'),
    );
  }

  /** Everything a search offers: the department's own first, so that they win a tie. */
  get offered(): readonly BookCompound[] {
    return [...this.#own.filter((one) => one.own?.isWithdrawn === false), ...shipped];
  }

  byId(id: string): BookCompound | null {
    const own = this.#own.find((one) => one.compound.id === id);
    if (own !== undefined) return own;
    const compound = compoundById(id);
    return compound === undefined ? null : { compound, own: null };
  }

  /** As `CompoundSearch.find`, over the shipped and the department's own together. */
  find(query: string, limit: number): readonly BookCompound[] {
    const { offered } = this;
    // Built at the first search after a change, not while somebody types.
    this.#search ??= new CompoundSearch(offered.map(findable));
    return this.#search.find(query, limit).map(({ entry }) => entry);
  }
}

const books = new WeakMap<Client, CompoundBook>();

/** One book for one way out: what one screen read, the next one has. */
export function compoundBookOf(client: Client): CompoundBook {
  const known = books.get(client);
  if (known !== undefined) return known;
  const book = new CompoundBook(client);
  books.set(client, book);
  return book;
}

/** A row of the reagent table for a compound, with what its label says; both say where they were taken from. */
export function rowOf(
  { compound, own }: BookCompound,
  row: { readonly id: string; readonly role: RowRole },
): { readonly row: ReagentRow; readonly hazard: HazardNote | null } {
  const plain = rowFromCompound(compound, row);
  const classified = compound.hazards === null ? '' : sourceText(compound.hazards.source, own);
  if (own === null) return { row: plain, hazard: hazardNoteOf(compound, row.id, classified) };
  const from = ownSourceText(compound.name, own.n);
  // Only a liquid's row takes a density.
  const density = compound.form === 'liquid' ? compound.density : null;
  return {
    row: {
      ...plain,
      valuesFrom: density === null ? from : `${from} (density: ${density.source})`,
    },
    hazard: hazardNoteOf(compound, row.id, `${from}: ${classified}`),
  };
}
