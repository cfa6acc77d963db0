import type { EntryPermissions, EntryView, VersionCard } from '../../core/contract/views.ts';
import type { EntryState, Meaning } from '../../core/record/objects.ts';
import type { RequestName } from '../../core/contract/request-map.ts';
import { fail, ok } from '../../core/result.ts';
import type { Answer, Client } from './client.ts';

const nothing: EntryPermissions = {
  canEdit: false,
  canSign: false,
  canComment: false,
  canReturn: false,
  canCountersign: false,
  canAmend: false,
  canStrikeOut: false,
};

const stateAfter: Readonly<Record<Meaning, EntryState>> = {
  performed: 'signed',
  amended: 'signed',
  returned: 'returned',
  countersigned: 'countersigned',
  deposited: 'countersigned',
};

/** How the entry stood once the last signature was on that version. */
function stateOf(version: VersionCard): EntryState {
  const last = version.signatures.toSorted((a, b) => a.signedAt.localeCompare(b.signedAt)).at(-1);
  return last === undefined ? 'signed' : stateAfter[last.meaning];
}

/**
 * The client as it would have answered when version `n` was the newest: `entry.open` gives the content
 * that was signed then, with the comments and signatures up to it, and allows nothing. All other
 * requests pass through.
 */
export function pastClient(client: Client, n: number): Client {
  async function openPast(entryId: string): Promise<Answer<'entry.open'>> {
    const [now, then] = await Promise.all([
      client.ask('entry.open', { entryId }),
      client.ask('version.read', { entryId, n }),
    ]);
    if (!now.ok) return now;
    if (!then.ok) return then;
    const version = now.value.versions.find((one) => one.n === n);
    if (version === undefined) return fail({ code: 'not-found', where: 'n', facts: {} });
    const view: EntryView = {
      ...now.value,
      content: then.value.content,
      state: stateOf(version),
      mark: stateOf(version) === 'countersigned' ? now.value.mark : '',
      versions: now.value.versions.filter((one) => one.n <= n),
      comments: now.value.comments.filter((comment) => comment.n !== null && comment.n <= n),
      permissions: nothing,
      amendmentReason: null,
      strikeOutReason: null,
    };
    return ok(view);
  }
  return {
    async ask<K extends RequestName>(name: K, input: never): Promise<Answer<K>> {
      if (name !== 'entry.open') return client.ask<K>(name, input);
      return await openPast((input as { entryId: string }).entryId);
    },
  };
}
