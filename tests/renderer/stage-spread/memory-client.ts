import type { EntryView } from '../../../core/contract/views.ts';
import type { Client } from '../../../renderer/client/client.ts';

/** A notebook in memory for the stage: opens one entry, takes its drafts and comments. */
export function memoryClient(view: EntryView): Client {
  let current = view;
  const refuse = (code: string) => ({ ok: false, error: { code, where: '', facts: {} } });
  const answer = (name: string, input: Record<string, unknown>): unknown => {
    switch (name) {
      case 'entry.open':
        return { ok: true, value: current };
      case 'draft.save': {
        if (input['revision'] !== current.revision) return refuse('draft-changed-elsewhere');
        current = {
          ...current,
          content: input['content'] as EntryView['content'],
          revision: current.revision + 1,
          savedAt: new Date().toISOString(),
        };
        return { ok: true, value: { revision: current.revision, savedAt: current.savedAt } };
      }
      case 'comment.add': {
        const comment = {
          id: crypto.randomUUID(),
          entry: current.id,
          n: null,
          author: { person: 'p2', printedName: 'Edda Marlow', role: 'instructor' },
          at: new Date().toISOString(),
          isSettled: false,
          ...input,
        };
        return { ok: true, value: comment };
      }
      case 'comment.settle': {
        const found = current.comments.find((one) => one.id === input['commentId']);
        return found === undefined ? refuse('not-found') : { ok: true, value: { ...found, isSettled: true } };
      }
      default:
        return refuse('internal');
    }
  };
  return {
    ask: (name, input) => Promise.resolve(answer(name, input as Record<string, unknown>) as never),
  };
}
