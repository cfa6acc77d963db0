import { attachmentLimits } from '../../core/attachments/attachment-file.ts';
import type { Section } from '../../core/record/content.ts';
import { asBase64 } from '../client/base64.ts';
import { refusalSentence } from '../client/refusal-sentence.ts';
import type { EntryDraft } from './entry-draft.svelte.ts';

/** Where files go, and what they are called at first. */
export interface Attaching {
  readonly draft: EntryDraft;
  readonly section: Section;
  readonly caption?: string;
  /** The name of the file that is on its way; '' when none is. */
  readonly onFile: (name: string) => void;
  readonly onNotice: (text: string) => void;
}

/**
 * Attaches files one after the other.
 *
 * @returns why not, a sentence for each that was refused
 */
export async function attachFiles(
  files: readonly File[],
  { draft, section, caption = '', onFile, onNotice }: Attaching,
): Promise<readonly string[]> {
  const problems: string[] = [];
  for (const file of files) {
    onFile(file.name);
    if (file.size > attachmentLimits.bytes) {
      const facts = { most: attachmentLimits.bytes, size: file.size };
      problems.push(`${file.name}: ${refusalSentence({ code: 'attachment-too-large', where: '', facts })}`);
      continue;
    }
    const answer = await draft.attach({ section, name: file.name, caption, data: await asBase64(file) });
    if (answer === null) problems.push(`${file.name}: the page is not saved yet; try again.`);
    else if (!answer.ok) problems.push(`${file.name}: ${refusalSentence(answer.error)}`);
    else if (answer.value.hasPosition) {
      onNotice(
        'The photograph says where it was taken. The original is kept as it is; that place is neither shown nor printed.',
      );
    }
  }
  onFile('');
  return problems;
}
