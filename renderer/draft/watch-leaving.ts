import type { EntryDraft } from './entry-draft.svelte.ts';

/**
 * Saves at the moments a page can be lost: another window in front, another tab, the page closed or
 * thrown away. Nothing asks "do you really want to leave": there is nothing left to lose.
 */
export function watchLeaving(draft: EntryDraft): () => void {
  const save = (): void => void draft.flush();
  const hidden = (): void => {
    if (document.visibilityState === 'hidden') draft.leave();
  };
  const gone = (): void => draft.leave();
  // A field that is left is a thought that is finished. A field taken off the page reports being left
  // while the page is still being drawn: the saving waits until that is done.
  const left = (): void => queueMicrotask(save);
  document.addEventListener('focusout', left);
  document.addEventListener('visibilitychange', hidden);
  window.addEventListener('blur', save);
  window.addEventListener('pagehide', gone);
  return () => {
    document.removeEventListener('focusout', left);
    document.removeEventListener('visibilitychange', hidden);
    window.removeEventListener('blur', save);
    window.removeEventListener('pagehide', gone);
  };
}
