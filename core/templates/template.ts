import type { EntryContent } from '../record/content.ts';

/** What a template fixes of an entry; the rest is the student's. */
export type TemplateContent = Pick<
  EntryContent,
  | 'title'
  | 'aim'
  | 'principle'
  | 'equation'
  | 'requirements'
  | 'hazards'
  | 'precautions'
  | 'rows'
  | 'productRowId'
  | 'steps'
  | 'worksheets'
  | 'expectedYield'
  | 'literature'
>;

/** A preparation ready to be carried out. Ids inside it are its own; an entry gets fresh ones. */
export interface Template {
  readonly id: string;
  /** Counted up with every change that a reader of an old entry would want to know about. */
  readonly version: string;
  readonly title: string;
  /** For the list to choose from: what is made, and what is learnt by it. */
  readonly summary: string;
  readonly content: TemplateContent;
}
