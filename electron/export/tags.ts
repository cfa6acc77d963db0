import type { PdfKitDocument, StructureElement } from './pdfmake-internals.ts';

/** Structure types of ISO 32000-1, 14.8.4, as far as a report needs them. */
export type TagType =
  | 'Document'
  | 'Sect'
  | 'H1'
  | 'H2'
  | 'H3'
  | 'P'
  | 'L'
  | 'LI'
  | 'LBody'
  | 'Table'
  | 'TR'
  | 'TH'
  | 'TD'
  | 'Figure'
  | 'Note'
  | 'Caption';

/**
 * A place in the document's logical structure. Blocks make them while they are built; the drawing
 * makes the element the first time something of it reaches a page, so that the order of the
 * structure is the order of reading.
 */
export class Tag {
  readonly type: TagType;
  readonly parent: Tag | null;
  /** Read out in place of a drawing. */
  readonly alt: string;
  /** A table's head row, printed again on every page: only the first printing is content. */
  readonly isRepeated: boolean;
  private element: StructureElement | null = null;
  private firstPage: unknown = null;

  constructor(type: TagType, parent: Tag | null, extra: { alt?: string; isRepeated?: boolean } = {}) {
    this.type = type;
    this.parent = parent;
    this.alt = extra.alt ?? '';
    this.isRepeated = extra.isRepeated ?? false;
  }

  child(type: TagType, extra: { alt?: string; isRepeated?: boolean } = {}): Tag {
    return new Tag(type, this, extra);
  }

  elementIn(document: PdfKitDocument): StructureElement {
    if (this.element !== null) return this.element;
    const options: Record<string, unknown> = {};
    if (this.alt !== '') options['alt'] = this.alt;
    if (this.type === 'TH') options['scope'] = 'Column';
    this.element = document.struct(this.type, options);
    if (this.parent === null) document.addStructure(this.element);
    else this.parent.elementIn(document).add(this.element);
    return this.element;
  }

  /** Draws as content of this tag, or as an artifact where a table head is only printed again. */
  mark(document: PdfKitDocument, draw: () => void): void {
    this.firstPage ??= document.page;
    if (this.isRepeated && this.firstPage !== document.page) {
      asArtifact(document, draw, 'Pagination');
      return;
    }
    const element = this.elementIn(document);
    const content = document.markStructureContent(this.type);
    draw();
    document.endMarkedContent();
    element.add(content);
  }
}

/** Rules, tints, page furniture: nothing to be read out. */
export function asArtifact(
  document: PdfKitDocument,
  draw: () => void,
  type: 'Layout' | 'Pagination' = 'Layout',
): void {
  document.markContent('Artifact', { type });
  draw();
  document.endMarkedContent();
}
