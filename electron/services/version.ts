import { differencesBetween } from '../../core/record/differences.ts';
import { showsDraftTo } from '../../core/record/life.ts';
import { ok } from '../../core/result.ts';
import type { Routes } from './asking.ts';
import { contentOf } from './draft-audit.ts';
import { loadEntry, readVersion } from './entry-load.ts';
import { refuse } from './program.ts';

export const version: Routes<'version.read' | 'version.compare'> = {
  'version.read': {
    by: 'signed-in',
    writes: false,
    async handle(input, { notebook, person }) {
      const loaded = await loadEntry(notebook.db, input.entryId, person);
      const read = loaded === null ? null : await readVersion(notebook.db, input.entryId, input.n);
      return read === null
        ? refuse('not-found', 'n')
        : ok({ content: read.content, computed: read.computed });
    },
  },
  'version.compare': {
    by: 'signed-in',
    writes: false,
    async handle(input, { notebook, person }) {
      const { db } = notebook;
      const loaded = await loadEntry(db, input.entryId, person);
      if (loaded === null) return refuse('not-found', 'entryId');
      const from = await readVersion(db, input.entryId, input.from);
      if (from === null) return refuse('not-found', 'from');
      if (input.to === null) {
        if (!showsDraftTo(loaded.situation) && loaded.entry.state !== 'struck-out') {
          return refuse('not-allowed', 'to');
        }
        const draft = await db
          .selectFrom('draft')
          .select('content')
          .where('entry_id', '=', input.entryId)
          .executeTakeFirstOrThrow();
        const differences = differencesBetween(from.content, contentOf(draft.content));
        return ok({ from: input.from, to: null, differences });
      }
      const to = await readVersion(db, input.entryId, input.to);
      if (to === null) return refuse('not-found', 'to');
      return ok({
        from: input.from,
        to: input.to,
        differences: differencesBetween(from.content, to.content),
      });
    },
  },
};
