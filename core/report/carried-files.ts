import type { AttachmentNote } from '../record/content.ts';
import type { EntryBundle } from './bundle.ts';
import type { CarriedFile } from './report-document.ts';

/** Attached files that one PDF carries inside, all of them together, bytes. */
export const carriedLimitBytes = 40_000_000;

/** Everything attached to an entry: in what is printed, and in every signed version. */
function notesOf({ shown, versions }: Pick<EntryBundle, 'shown' | 'versions'>): readonly AttachmentNote[] {
  const all = [shown.content, ...versions.map((version) => version.content)];
  const bySha = new Map(all.flatMap((content) => content.attachments).map((note) => [note.sha256, note]));
  return [...bySha.values()];
}

/** A name that every reader of PDF can save under: plain letters, digits, `.`, `-`. */
const savedName = (name: string): string => name.normalize('NFKD').replace(/[^A-Za-z0-9.-]+/g, '_');

/**
 * Which attached files are carried inside the PDF of these entries, in the order of the entries: as
 * many as fit under the limit. Each comes in once, however often it was attached.
 *
 * @param mayCarry false for what is not there, and for what should not be handed on unasked
 */
export function planCarried(
  entries: readonly (Pick<EntryBundle, 'shown' | 'versions'> & {
    readonly entry: Pick<EntryBundle['entry'], 'number'>;
  })[],
  mayCarry: (note: AttachmentNote) => boolean,
  limitBytes = carriedLimitBytes,
): readonly CarriedFile[] {
  const files: CarriedFile[] = [];
  const seen = new Set<string>();
  const names = new Set<string>();
  let total = 0;
  for (const bundle of entries) {
    for (const note of notesOf(bundle)) {
      if (seen.has(note.sha256) || total + note.sizeBytes > limitBytes || !mayCarry(note)) continue;
      seen.add(note.sha256);
      total += note.sizeBytes;
      const plain = `${String(bundle.entry.number).padStart(3, '0')}-${savedName(note.name)}`;
      // Two files of one name are told apart by their hash.
      const name = names.has(plain) ? `${note.sha256.slice(0, 8)}-${plain}` : plain;
      names.add(name);
      files.push({
        name,
        mediaType: note.mediaType,
        sha256: note.sha256,
        sizeBytes: note.sizeBytes,
        description: `Attached to entry ${bundle.entry.number}: ${note.name}`,
      });
    }
  }
  return files;
}
