import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkDatabase } from '../../../electron/check/check-database.ts';
import { sampleContent } from '../../core/record/sample-content.ts';
import { openDesk, passphraseOf, type Desk, type Name } from './open-desk.ts';

type State = 'draft' | 'signed' | 'returned' | 'countersigned' | 'amending' | 'struck-out';
type Command =
  | 'save'
  | 'sign'
  | 'return'
  | 'countersign'
  | 'amend'
  | 'abandon'
  | 'strike-out'
  | 'comment'
  | 'settle'
  | 'wrong-passphrase';
const commands: readonly Command[] = [
  'save',
  'sign',
  'return',
  'countersign',
  'amend',
  'abandon',
  'strike-out',
  'comment',
  'settle',
  'wrong-passphrase',
];
const people: readonly Name[] = ['Ada', 'Ben', 'Dr Moss', 'Archive'];

/** The life of an entry as the issue words it; written down a second time, apart from the program's own rules. */
function expected(command: Command, who: Name, state: State): State | 'refused' {
  const isOwner = who === 'Ada';
  const isReviewer = who === 'Dr Moss';
  const isOpen = state === 'draft' || state === 'returned' || state === 'amending';
  switch (command) {
    case 'save':
      return isOwner && isOpen ? state : 'refused';
    case 'sign':
      return isOwner && isOpen ? 'signed' : 'refused';
    case 'return':
      return isReviewer && state === 'signed' ? 'returned' : 'refused';
    case 'countersign':
      return isReviewer && state === 'signed' ? 'countersigned' : 'refused';
    case 'amend':
      return isOwner && state === 'countersigned' ? 'amending' : 'refused';
    case 'abandon':
      return isOwner && state === 'amending' ? 'countersigned' : 'refused';
    case 'strike-out':
      return isOwner && (state === 'draft' || state === 'returned') ? 'struck-out' : 'refused';
    case 'comment':
    case 'settle': {
      const isDiscussed = state === 'signed' || state === 'returned' || state === 'amending';
      return (isOwner || isReviewer) && isDiscussed ? state : 'refused';
    }
    case 'wrong-passphrase':
      return 'refused';
  }
}

/** How many events a command that succeeds writes beside a draft's pending changes. */
const tells = (command: Command): number => (command === 'save' ? 0 : 1);

class World {
  readonly #desk: Desk;
  readonly #entryId: string;
  state: State = 'draft';
  #words = 0;
  #commentId: string | null = null;
  #isSettled = true;

  constructor(desk: Desk, entryId: string) {
    this.#desk = desk;
    this.#entryId = entryId;
  }

  async events(): Promise<readonly string[]> {
    if (!this.#desk.running.program.notebook.ok) throw new Error('not open');
    const rows = await this.#desk.running.program.notebook.value.db
      .selectFrom('event')
      .select('action')
      .orderBy('seq')
      .execute();
    // Sessions come and go beside what is counted here.
    return rows.map((row) => row.action).filter((action) => !action.startsWith('session.'));
  }

  async stored(): Promise<State> {
    if (!this.#desk.running.program.notebook.ok) throw new Error('not open');
    const row = await this.#desk.running.program.notebook.value.db
      .selectFrom('entry')
      .select('state')
      .where('id', '=', this.#entryId)
      .executeTakeFirstOrThrow();
    return row.state;
  }

  async run(command: Command, who: Name): Promise<void> {
    // Waits after wrong passphrases are another test's matter; sessions lock meanwhile, and are opened again.
    this.#desk.clock.pass(901);
    const seat = await this.#desk.as(who);
    const before = await this.events();
    const was = this.state;
    const isNothingToSettle = command === 'settle' && (this.#commentId === null || this.#isSettled);
    const ok = await this.#send(command, who, seat);
    const after = await this.events();
    const written = after.slice(before.length).filter((action) => action !== 'draft.save');
    const drafts = after.length - before.length - written.length;
    const will = expected(command, who, was);
    const label = `${command} by ${who} in ${was}`;
    if (isNothingToSettle) {
      expect(written, label).toEqual([]);
      return;
    }
    expect(ok, label).toBe(will !== 'refused');
    if (will === 'refused') {
      // A wrong passphrase where the right one would have been taken is itself an event.
      const isTold = command === 'wrong-passphrase' && expected('sign', who, was) !== 'refused';
      expect(written, label).toEqual(isTold ? ['signing.refused'] : []);
      expect(drafts, label).toBe(0);
    } else {
      this.state = will;
      expect(written.length, label).toBe(tells(command));
      expect(drafts, label).toBeLessThanOrEqual(1);
    }
    expect(await this.stored(), label).toBe(this.state);
  }

  async #send(command: Command, who: Name, seat: Awaited<ReturnType<Desk['as']>>): Promise<boolean> {
    const entryId = this.#entryId;
    const view = await seat.ask('entry.open', { entryId });
    const versionHash = view.ok ? (view.value.versions.at(-1)?.hash ?? '0'.repeat(64)) : '0'.repeat(64);
    const passphrase = passphraseOf(who);
    switch (command) {
      case 'save': {
        const revision = view.ok ? view.value.revision : 1;
        const content = sampleContent({ discussion: `Word ${++this.#words}.` });
        return (await seat.ask('draft.save', { entryId, revision, content })).ok;
      }
      case 'sign':
      case 'wrong-passphrase': {
        const text = await seat.ask('signing.read', { entryId, meaning: 'performed' });
        return (
          await seat.ask('entry.sign', {
            entryId,
            revision: view.ok ? view.value.revision : 1,
            versionHash: text.ok ? text.value.versionHash : versionHash,
            passphrase: command === 'sign' ? passphrase : 'not the words',
          })
        ).ok;
      }
      case 'return':
        return (await seat.ask('entry.return', { entryId, versionHash, remark: 'More.', passphrase })).ok;
      case 'countersign':
        return (await seat.ask('entry.countersign', { entryId, versionHash, mark: '9', passphrase })).ok;
      case 'amend':
        return (await seat.ask('entry.amend', { entryId, reason: 'A slip.' })).ok;
      case 'abandon':
        return (await seat.ask('entry.abandon-amendment', { entryId })).ok;
      case 'strike-out':
        return (await seat.ask('entry.strike-out', { entryId, reason: 'A mistake.' })).ok;
      case 'comment': {
        const added = await seat.ask('comment.add', { entryId, section: 'aim', anchor: null, text: 'Hm.' });
        if (added.ok) {
          this.#commentId = added.value.id;
          this.#isSettled = false;
        }
        return added.ok;
      }
      case 'settle': {
        const settled = await seat.ask('comment.settle', { commentId: this.#commentId ?? 'none' });
        if (settled.ok) this.#isSettled = true;
        return settled.ok;
      }
    }
  }
}

describe('any sequence of commands by anybody', () => {
  it('keeps to the life of an entry, writes one event each, and leaves a sound notebook', async () => {
    const step = fc.record({ command: fc.constantFrom(...commands), who: fc.constantFrom(...people) });
    // Half the steps by the owner and the reviewer, or nothing would ever be countersigned.
    const likely = fc.record({
      command: fc.constantFrom<Command>('save', 'sign', 'return', 'countersign', 'amend', 'comment'),
      who: fc.constantFrom<Name>('Ada', 'Dr Moss'),
    });
    const reached = new Set<State>();
    await fc.assert(
      fc.asyncProperty(fc.array(fc.oneof(step, likely), { minLength: 25, maxLength: 45 }), async (steps) => {
        const desk = await openDesk('HTTP');
        try {
          await desk.begin(['Ada', 'Ben', 'Dr Moss', 'Archive']);
          const { id } = await desk.entry('Ada', await desk.record());
          const world = new World(desk, id);
          for (const { command, who } of steps) {
            await world.run(command, who);
            reached.add(world.state);
          }
          await (await desk.as('Dr Moss')).get('session.close', {});
          const report = await checkDatabase(desk.path);
          if (!report.ok) throw new Error(report.error.code);
          expect(report.value.findings.filter((finding) => finding.severity === 'broken')).toEqual([]);
          expect(desk.logged).toEqual([]);
        } finally {
          await desk.close();
        }
      }),
      { numRuns: 8, seed: 20_270_309 },
    );
    expect(reached).toEqual(
      new Set(['draft', 'signed', 'returned', 'countersigned', 'amending', 'struck-out']),
    );
  }, 240_000);
});
