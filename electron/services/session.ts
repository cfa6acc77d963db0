import type { SessionView } from '../../core/contract/views.ts';
import { ok } from '../../core/result.ts';
import { storageProblem } from '../storage/storage-problem.ts';
import { actorOf, type Asking, type Routes } from './asking.ts';
import { tellDrafts } from './draft-audit.ts';
import { unlockWith } from './passphrase-check.ts';
import { personById } from './people.ts';
import { refuse } from './program.ts';
import { idleMinutes, type Session } from './sessions.ts';
import { transact } from './transact.ts';

const view = (session: Session): SessionView => ({
  person: session.person,
  openedAt: session.openedAt,
  idleMinutes,
});

export const session: Routes<'session.open' | 'session.current' | 'session.close'> = {
  'session.open': {
    by: 'anyone',
    writes: false,
    async handle(input, asking) {
      const { program, notebook, caller } = asking;
      const person = await personById(notebook.db, input.personId);
      if (person === null) return refuse('not-found', 'personId');
      const unlocked = await unlockWith(asking, person, null, input.passphrase, {
        action: 'session.refused',
      });
      if (!unlocked.ok) return unlocked;
      await endSession(asking, 'session.close');
      if (notebook.readOnly === null) {
        await transact(asking, async (posting) => {
          await posting.tell({ action: 'session.open', actor: actorOf(person) });
          return ok(null);
        });
      }
      return ok(view(program.sessions.open(caller.client, person, program.clock)));
    },
  },
  'session.current': {
    by: 'anyone',
    writes: false,
    handle: (_, asking) =>
      Promise.resolve(ok({ session: asking.session === null ? null : view(asking.session) })),
  },
  'session.close': {
    by: 'anyone',
    writes: false,
    async handle(_, asking) {
      await endSession(asking, 'session.close');
      return ok({ session: null });
    },
  },
};

/** Signs out whoever sits at this client: their drafts are told to the trail first. */
export async function endSession(
  asking: Pick<Asking, 'program' | 'notebook' | 'caller'>,
  action: 'session.close' | 'session.lock',
): Promise<void> {
  const { program, notebook, caller } = asking;
  const open = program.sessions.of(caller.client);
  if (open === null) return;
  program.sessions.close(caller.client);
  // A locked page is gone on with; whoever leaves takes with them what they had opened.
  if (action === 'session.close') await program.deposits.closeOf(caller.client);
  if (notebook.readOnly !== null) return;
  try {
    await tellDrafts(asking, { savedBy: open.person.id });
    await transact(asking, async (posting) => {
      await posting.tell({ action, actor: actorOf(open.person) });
      return ok(null);
    });
  } catch (error) {
    // A full disk must not keep anybody signed in; their drafts are told when there is room again.
    if (storageProblem(error) === null) throw error;
    program.log(action, error);
  }
}
