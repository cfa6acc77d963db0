import { attachmentName } from '../../core/attachments/attachment-file.ts';
import { versionOfBundle } from '../../core/record/entries-of-bundle.ts';
import { ok } from '../../core/result.ts';
import type { AskingPerson, Routes } from './asking.ts';
import { refuse } from './program.ts';
import { doWork } from './work.ts';

const whoOf = ({ caller, person }: AskingPerson): { readonly client: string; readonly personId: string } => ({
  client: caller.client,
  personId: person.id,
});

/** Opening a deposit to be read. Nothing of it is written into the notebook, not even that it was opened. */
export const depositOpen: Routes<
  'deposit.bring' | 'deposit.open' | 'deposit.list' | 'deposit.entry' | 'deposit.version' | 'deposit.close'
> = {
  'deposit.bring': {
    by: 'signed-in',
    writes: false,
    async handle(input, asking) {
      const { deposits, newId } = asking.program;
      const piece = new Uint8Array(Buffer.from(input.data, 'base64'));
      const brought = await deposits.bring(whoOf(asking), input.depositId, newId, piece);
      if (brought === null) return refuse('not-found', 'depositId');
      if (brought === 'too-large') return refuse('file-unreadable', 'data', { reason: 'too-large' });
      return ok({ depositId: brought.id, sizeBytes: brought.sizeBytes });
    },
  },
  'deposit.open': {
    by: 'signed-in',
    writes: false,
    async handle(input, asking) {
      const { program, notebook } = asking;
      const who = whoOf(asking);
      const path = program.deposits.path(who, input.depositId);
      if (path === null) return refuse('not-found', 'depositId');
      const own = await notebook.db.selectFrom('notebook').select('department_key').executeTakeFirstOrThrow();
      const answer = await doWork(
        { kind: 'check', path, pinnedKey: own.department_key },
        { signal: new AbortController().signal, onProgress: () => undefined },
      );
      if (answer.kind !== 'check') throw new Error('the thread did other work than it was given');
      const { result } = answer;
      const read = result.ok
        ? await program.deposits.read(who, input.depositId, {
            name: attachmentName(input.name),
            report: result.value,
          })
        : result;
      if (read?.ok === true) return read;
      await program.deposits.close(who, input.depositId);
      if (read === null) return refuse('not-found', 'depositId');
      return refuse('file-unreadable', 'data', { ...read.error.facts, reason: read.error.code });
    },
  },
  'deposit.list': {
    by: 'signed-in',
    writes: false,
    handle: (_, asking) => Promise.resolve(ok({ deposits: asking.program.deposits.views(whoOf(asking)) })),
  },
  'deposit.entry': {
    by: 'signed-in',
    writes: false,
    async handle(input, asking) {
      const found = await asking.program.deposits.entry(whoOf(asking), input.entryId);
      return found === null ? refuse('not-found', 'entryId') : ok(found.view);
    },
  },
  'deposit.version': {
    by: 'signed-in',
    writes: false,
    async handle(input, asking) {
      const found = await asking.program.deposits.entry(whoOf(asking), input.entryId);
      const version = found === null ? null : versionOfBundle(found.bundle, found.own, input.n);
      return version === null ? refuse('not-found', 'n') : ok(version);
    },
  },
  'deposit.close': {
    by: 'signed-in',
    writes: false,
    async handle(input, asking) {
      return (await asking.program.deposits.close(whoOf(asking), input.depositId))
        ? ok({ depositId: null })
        : refuse('not-found', 'depositId');
    },
  },
};
