import type {
  EntryContent,
  FreeNote,
  HazardNote,
  ResultRecord,
  Worksheet,
} from '../../core/record/content.ts';
import type { Entered } from '../../core/quantity/quantity.ts';
import type { Measure, ReagentRow, RowRole } from '../../core/reaction/table-types.ts';

/** A change to an entry: never alters what it is given. */
export type Edit = (content: EntryContent) => EntryContent;

/** A change to the structure of an entry, with what takes it back even after later typing. */
export interface Restructuring {
  /** In words, past tense: "removed acetic anhydride". */
  readonly label: string;
  readonly apply: Edit;
  readonly revert: Edit;
}

export type Side = 'planned' | 'taken';

export const set =
  <K extends keyof EntryContent>(key: K, value: EntryContent[K]): Edit =>
  (content) => ({ ...content, [key]: value });

/** The list with one member replaced by `patch` laid over it. */
export function patched<T extends { readonly id: string }>(
  list: readonly T[],
  id: string,
  patch: Partial<T>,
): readonly T[] {
  return list.map((item) => (item.id === id ? { ...item, ...patch } : item));
}

/** The list with `item` put in at `index`; an index beyond the end appends. */
export function inserted<T>(list: readonly T[], index: number, item: T): readonly T[] {
  return [...list.slice(0, index), item, ...list.slice(index)];
}

/** The list with the member of that id moved by so many places, kept within its ends. */
export function moved<T extends { readonly id: string }>(
  list: readonly T[],
  id: string,
  by: number,
): readonly T[] {
  const from = list.findIndex((item) => item.id === id);
  const item = list[from];
  if (item === undefined) return list;
  const to = Math.max(0, Math.min(list.length - 1, from + by));
  return inserted(
    list.filter((other) => other.id !== id),
    to,
    item,
  );
}

const without = <T extends { readonly id: string }>(list: readonly T[], id: string): readonly T[] =>
  list.filter((item) => item.id !== id);

// ---- reagent table ----

export const patchRow =
  (rowId: string, patch: Partial<ReagentRow>): Edit =>
  (content) => ({
    ...content,
    rows: patched(content.rows, rowId, patch).map((row, index) =>
      row.id === rowId ? withSource(content.rows[index], row) : row,
    ),
  });

const densityOf = ({ supply }: ReagentRow): string =>
  supply.kind === 'neat-liquid' ? JSON.stringify([supply.density, supply.densityTemperature]) : '';

/** A value changed by hand comes no more from where the row was taken. */
function withSource(before: ReagentRow | undefined, row: ReagentRow): ReagentRow {
  if (row.valuesFrom === undefined || before === undefined) return row;
  const isAsTaken =
    row.formula === before.formula && row.smiles === before.smiles && densityOf(row) === densityOf(before);
  if (isAsTaken) return row;
  const { valuesFrom: _gone, ...kept } = row;
  return kept;
}

/**
 * Another figure for what was measured. The instrument stays while the way of measuring stays (a balance
 * does not measure a volume), the size of the drops while drops are counted.
 */
export function remeasured(before: Measure | null, by: Measure['by'], entered: Entered): Measure {
  if (entered.unit === 'drops') {
    const bare = { by, entered, instrument: null };
    return before?.drop === undefined ? bare : { ...bare, drop: before.drop };
  }
  return { by, entered, instrument: before?.by === by ? before.instrument : null };
}

export const setMeasure = (rowId: string, side: Side, measure: Measure | null): Edit =>
  patchRow(rowId, { [side]: measure });

export function addRow(row: ReagentRow, index: number): Restructuring {
  return {
    label: `added ${row.name === '' ? 'a row' : row.name}`,
    apply: (content) => ({
      ...content,
      rows: inserted(content.rows, index, row),
      productRowId: content.productRowId ?? (row.role === 'product' ? row.id : null),
    }),
    revert: (content) => ({
      ...content,
      rows: without(content.rows, row.id),
      productRowId: content.productRowId === row.id ? null : content.productRowId,
    }),
  };
}

/** The row plays another part; the first product is the one the yields refer to. */
export const setRole =
  (rowId: string, role: RowRole): Edit =>
  (content) => {
    const isTheProduct = content.productRowId === rowId;
    const productRowId =
      role === 'product' ? (content.productRowId ?? rowId) : isTheProduct ? null : content.productRowId;
    return { ...content, productRowId, rows: patched(content.rows, rowId, { role }) };
  };

/** A substance picked from the library: its row, and what its label says where that is not noted yet. */
export function addCompoundRow(row: ReagentRow, index: number, hazard: HazardNote | null): Restructuring {
  const plain = addRow(row, index);
  if (hazard === null) return plain;
  const isNoted = (content: EntryContent): boolean =>
    content.hazards.some((note) => note.substance.trim().toLowerCase() === row.name.trim().toLowerCase());
  return {
    label: plain.label,
    apply: (content) => {
      const next = plain.apply(content);
      return isNoted(content) ? next : { ...next, hazards: [...next.hazards, hazard] };
    },
    revert: (content) => ({
      ...plain.revert(content),
      hazards: content.hazards.filter((note) => note.rowId !== row.id),
    }),
  };
}

/**
 * Takes a row out. Hazard notes stay, named by substance; steps that mention the row are counted in
 * the label, since their amounts can no longer be filled in.
 */
export function removeRow(content: EntryContent, rowId: string): Restructuring | null {
  const index = content.rows.findIndex((row) => row.id === rowId);
  const row = content.rows[index];
  if (row === undefined) return null;
  const wasProduct = content.productRowId === rowId;
  const notes = content.hazards.map((note) => note.rowId);
  const mentions = content.steps.flatMap((step, i) => (step.text.includes(`:${rowId}}`) ? [i + 1] : []));
  const mentioned =
    mentions.length === 0
      ? ''
      : `; step${mentions.length > 1 ? 's' : ''} ${mentions.join(', ')} still mention${mentions.length > 1 ? '' : 's'} it`;
  return {
    label: `removed ${row.name === '' ? 'a row' : row.name}${mentioned}`,
    apply: (now) => ({
      ...now,
      rows: without(now.rows, rowId),
      productRowId: wasProduct ? null : now.productRowId,
      hazards: now.hazards.map((note) => (note.rowId === rowId ? { ...note, rowId: null } : note)),
    }),
    revert: (now) => ({
      ...now,
      rows: inserted(now.rows, index, row),
      productRowId: wasProduct ? rowId : now.productRowId,
      hazards: now.hazards.map((note, i) =>
        note.rowId === null && notes[i] === rowId ? { ...note, rowId } : note,
      ),
    }),
  };
}

export function moveRow(content: EntryContent, rowId: string, by: -1 | 1): Restructuring {
  const name = content.rows.find((row) => row.id === rowId)?.name ?? '';
  return {
    label: `moved ${name === '' ? 'a row' : name} ${by < 0 ? 'up' : 'down'}`,
    apply: (now) => ({ ...now, rows: moved(now.rows, rowId, by) }),
    revert: (now) => ({ ...now, rows: moved(now.rows, rowId, -by) }),
  };
}

/** Replaces the planned measures by scaled ones; taking it back leaves rows added since alone. */
export function replacePlanned(
  content: EntryContent,
  rows: readonly ReagentRow[],
  label: string,
): Restructuring {
  const before = new Map(content.rows.map((row) => [row.id, row.planned]));
  const after = new Map(rows.map((row) => [row.id, row.planned]));
  const lay =
    (planned: ReadonlyMap<string, Measure | null>): Edit =>
    (now) => ({
      ...now,
      rows: now.rows.map((row) => {
        const measure = planned.get(row.id);
        return measure === undefined ? row : { ...row, planned: measure };
      }),
    });
  return { label, apply: lay(after), revert: lay(before) };
}

// ---- notes, hazards, worksheets, result ----

export const addNote =
  (note: FreeNote): Edit =>
  (content) => ({ ...content, notes: [...content.notes, note] });

export const patchNote =
  (noteId: string, patch: Partial<FreeNote>): Edit =>
  (content) => ({ ...content, notes: patched(content.notes, noteId, patch) });

export function removeNote(content: EntryContent, noteId: string): Restructuring | null {
  const index = content.notes.findIndex((note) => note.id === noteId);
  const note = content.notes[index];
  if (note === undefined) return null;
  return {
    label: 'removed a note',
    apply: (now) => ({ ...now, notes: without(now.notes, noteId) }),
    revert: (now) => ({ ...now, notes: inserted(now.notes, index, note) }),
  };
}

export function addHazard(note: HazardNote): Restructuring {
  return {
    label: `added hazards of ${note.substance === '' ? 'a substance' : note.substance}`,
    apply: (now) => ({ ...now, hazards: [...now.hazards, note] }),
    revert: (now) => ({ ...now, hazards: now.hazards.slice(0, -1) }),
  };
}

export const patchHazard =
  (index: number, patch: Partial<HazardNote>): Edit =>
  (content) => ({
    ...content,
    hazards: content.hazards.map((note, i) => (i === index ? { ...note, ...patch } : note)),
  });

export function removeHazard(content: EntryContent, index: number): Restructuring | null {
  const note = content.hazards[index];
  if (note === undefined) return null;
  return {
    label: `removed the hazards of ${note.substance}`,
    apply: (now) => ({ ...now, hazards: now.hazards.filter((_, i) => i !== index) }),
    revert: (now) => ({ ...now, hazards: inserted(now.hazards, index, note) }),
  };
}

/** Takes an attached file off the page; the notebook keeps it, and versions that were signed with it. */
export function removeAttachment(content: EntryContent, sha256: string): Restructuring | null {
  const index = content.attachments.findIndex((note) => note.sha256 === sha256);
  const note = content.attachments[index];
  if (note === undefined) return null;
  return {
    label: `took out ${note.name}`,
    apply: (now) => ({ ...now, attachments: now.attachments.filter((one) => one.sha256 !== sha256) }),
    revert: (now) => ({ ...now, attachments: inserted(now.attachments, index, note) }),
  };
}

export const patchAttachment =
  (sha256: string, caption: string): Edit =>
  (content) => ({
    ...content,
    attachments: content.attachments.map((note) => (note.sha256 === sha256 ? { ...note, caption } : note)),
  });

export const patchResult =
  (patch: Partial<ResultRecord>): Edit =>
  (content) => ({ ...content, result: { ...content.result, ...patch } });

export function addWorksheet(sheet: Worksheet, title: string): Restructuring {
  return {
    label: `added “${title}”`,
    apply: (now) => ({ ...now, worksheets: [...now.worksheets, sheet] }),
    revert: (now) => ({ ...now, worksheets: without(now.worksheets, sheet.id) }),
  };
}

export function removeWorksheet(content: EntryContent, id: string, title: string): Restructuring | null {
  const index = content.worksheets.findIndex((sheet) => sheet.id === id);
  const sheet = content.worksheets[index];
  if (sheet === undefined) return null;
  return {
    label: `removed “${title}”`,
    apply: (now) => ({ ...now, worksheets: without(now.worksheets, id) }),
    revert: (now) => ({ ...now, worksheets: inserted(now.worksheets, index, sheet) }),
  };
}

/** Fills or clears a whole worksheet; taking it back restores what was typed before. */
export function replaceInputs(sheet: Worksheet, inputs: Worksheet['inputs'], label: string): Restructuring {
  return {
    label,
    apply: patchWorksheet(sheet.id, { inputs }),
    revert: patchWorksheet(sheet.id, { inputs: sheet.inputs }),
  };
}

export const patchWorksheet =
  (id: string, patch: Partial<Worksheet>): Edit =>
  (content) => ({ ...content, worksheets: patched(content.worksheets, id, patch) });
