import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Refusal } from '../../../core/contract/contract.ts';
import type { CodeOf, InputOf, ReplyOf, RequestName } from '../../../core/contract/request-map.ts';
import type { EntryView, PersonView } from '../../../core/contract/views.ts';
import type { EntryContent } from '../../../core/record/content.ts';
import type { Role } from '../../../core/record/objects.ts';
import type { Result } from '../../../core/result.ts';
import { cheapScryptCost } from '../../../electron/keys/sealed-key.ts';
import {
  startProgram,
  type RunningProgram,
  type StartOptions,
} from '../../../electron/services/start-program.ts';
import { startLoopback } from '../../../electron/transport/http.ts';
import { pageOrigin, serveIpc } from '../../../electron/transport/ipc.ts';
import { sampleContent } from '../../core/record/sample-content.ts';
import { enter, pageHeaders, sendHttp } from './http-ask.ts';
import { TestClock } from './test-clock.ts';

export type Transport = 'IPC' | 'HTTP';
export const transports: readonly Transport[] = ['IPC', 'HTTP'];

type Answer<K extends RequestName> = Result<ReplyOf<K>, Refusal<CodeOf<K>>>;
type Send = (name: string, input: unknown) => Promise<unknown>;

/** One window, or one browser. */
export interface Seat {
  ask<K extends RequestName>(name: K, input: InputOf<K>): Promise<Answer<K>>;
  /** @throws for a refusal */
  get<K extends RequestName>(name: K, input: InputOf<K>): Promise<ReplyOf<K>>;
  /** As it comes, however wrong. */
  raw(name: string, input: unknown): Promise<{ ok: boolean; value?: unknown; error?: Refusal }>;
}

function seat(send: Send): Seat {
  return {
    ask: async <K extends RequestName>(name: K, input: InputOf<K>) => (await send(name, input)) as Answer<K>,
    async get<K extends RequestName>(name: K, input: InputOf<K>) {
      const answer = (await send(name, input)) as Answer<K>;
      if (answer.ok) return answer.value;
      throw new Error(`${name} was refused: ${JSON.stringify(answer.error)}`);
    },
    raw: async (name, input) => (await send(name, input)) as never,
  };
}

export type Name = 'Ada' | 'Ben' | 'Dr Moss' | 'Dr Lind' | 'Archive';
const roles: Readonly<Record<Name, Role>> = {
  Ada: 'student',
  Ben: 'student',
  'Dr Moss': 'instructor',
  'Dr Lind': 'instructor',
  Archive: 'department',
};
export const passphraseOf = (name: Name): string => `the passphrase of ${name}`;
export const departmentPassphrase = 'the department keeps this one';

/** A notebook of a small department with a seat at it, over one transport or the other. */
export class Desk {
  readonly path: string;
  readonly clock: TestClock;
  readonly running: RunningProgram;
  readonly logged: string[];
  readonly #newSeat: () => Promise<Seat>;
  readonly #end: () => Promise<void>;
  readonly #seats = new Map<string, Seat>();
  readonly #isOneWindow: boolean;
  #atWindow: Name | null = null;
  people: ReadonlyMap<string, PersonView> = new Map();

  constructor(parts: {
    path: string;
    clock: TestClock;
    running: RunningProgram;
    logged: string[];
    newSeat: () => Promise<Seat>;
    end: () => Promise<void>;
    isOneWindow: boolean;
  }) {
    this.path = parts.path;
    this.clock = parts.clock;
    this.running = parts.running;
    this.logged = parts.logged;
    this.#newSeat = parts.newSeat;
    this.#end = parts.end;
    this.#isOneWindow = parts.isOneWindow;
  }

  /** A seat of one's own; the same one at every call with the same name. */
  async seatOf(name: string): Promise<Seat> {
    const key = this.#isOneWindow ? 'window' : name;
    const known = this.#seats.get(key);
    if (known !== undefined) return known;
    const made = await this.#newSeat();
    this.#seats.set(key, made);
    return made;
  }

  idOf(name: Name): string {
    const person = this.people.get(name);
    if (person === undefined) throw new Error(`there is no ${name}`);
    return person.id;
  }

  /** The person's seat, with them signed in at it. */
  async as(name: Name): Promise<Seat> {
    const own = await this.seatOf(name);
    const { session } = await own.get('session.current', {});
    if (session?.person.printedName === name) return own;
    await own.get('session.open', { personId: this.idOf(name), passphrase: passphraseOf(name) });
    this.#atWindow = name;
    return own;
  }

  async begin(names: readonly Name[] = ['Ada', 'Ben', 'Dr Moss', 'Dr Lind', 'Archive']): Promise<void> {
    const first = await this.seatOf('somebody');
    const setup = await first.get('setup.begin', {
      institution: 'Larkhill College',
      department: 'Chemistry',
      passphrase: departmentPassphrase,
      people: names.map((name) => ({
        printedName: name,
        initials: name.replace('Dr ', '').slice(0, 2),
        role: roles[name],
        passphrase: passphraseOf(name),
      })),
    });
    this.people = new Map(setup.people.map((person) => [person.printedName, person]));
  }

  async record(owner: Name = 'Ada', title = 'Practical record'): Promise<string> {
    const own = await this.as(owner);
    const card = await own.get('record.begin', { title, course: 'Course II', ownerId: this.idOf(owner) });
    return card.id;
  }

  async entry(owner: Name, recordId: string, content: EntryContent = sampleContent()): Promise<EntryView> {
    return (await this.as(owner)).get('entry.begin', { recordId, content });
  }

  async save(owner: Name, entryId: string, change: Partial<EntryContent>): Promise<number> {
    const own = await this.as(owner);
    const { content, revision } = await own.get('entry.open', { entryId });
    return (await own.get('draft.save', { entryId, revision, content: { ...content, ...change } })).revision;
  }

  async sign(
    owner: Name,
    entryId: string,
    meaning: 'performed' | 'amended' = 'performed',
  ): Promise<EntryView> {
    const own = await this.as(owner);
    const { versionHash } = await own.get('signing.read', { entryId, meaning });
    const { revision } = await own.get('entry.open', { entryId });
    return own.get('entry.sign', { entryId, revision, versionHash, passphrase: passphraseOf(owner) });
  }

  async giveBack(reviewer: Name, entryId: string, remark = 'Say more.'): Promise<EntryView> {
    const own = await this.as(reviewer);
    const { versionHash } = await own.get('signing.read', { entryId, meaning: 'returned' });
    return own.get('entry.return', { entryId, versionHash, remark, passphrase: passphraseOf(reviewer) });
  }

  async countersign(reviewer: Name, entryId: string, mark = '8/10'): Promise<EntryView> {
    const own = await this.as(reviewer);
    const { versionHash } = await own.get('signing.read', { entryId, meaning: 'countersigned' });
    return own.get('entry.countersign', { entryId, versionHash, mark, passphrase: passphraseOf(reviewer) });
  }

  /** An entry of Ada's, countersigned by Dr Moss. */
  async lockedEntry(recordId: string): Promise<EntryView> {
    const { id } = await this.entry('Ada', recordId);
    await this.sign('Ada', id);
    return this.countersign('Dr Moss', id);
  }

  get atWindow(): Name | null {
    return this.#atWindow;
  }

  async close(): Promise<void> {
    await this.#end();
  }
}

/** Opens a desk on a new notebook in a folder of its own. */
export async function openDesk(transport: Transport, options: Partial<StartOptions> = {}): Promise<Desk> {
  const folder = mkdtempSync(join(tmpdir(), 'fairleaf-desk-'));
  const clock = (options.clock as TestClock | undefined) ?? new TestClock();
  const path = options.path ?? join(folder, 'notebook.fairleaf');
  const logged: string[] = [];
  const running = await startProgram({
    keyCost: cheapScryptCost,
    device: 'bench-7',
    log: (request, error) => logged.push(`${request}: ${String(error)}`),
    ...options,
    clock,
    path,
  });
  const tidy = async (): Promise<void> => {
    await running.stop();
    rmSync(folder, { recursive: true, force: true });
  };
  if (transport === 'IPC') {
    const send = ipcSend(running);
    return new Desk({
      path,
      clock,
      running,
      logged,
      newSeat: () => Promise.resolve(seat(send)),
      end: tidy,
      isOneWindow: true,
    });
  }
  const host = await startLoopback(
    { folder, dispatch: running.dispatch, jobFile: (id, client) => running.jobFile(id, client) },
    0,
  );
  return new Desk({
    path,
    clock,
    running,
    logged,
    async newSeat() {
      const cookie = await enter(host.newAddress());
      return seat(async (name, input) => {
        const answer = await sendHttp(host.origin, `/ask/${name}`, {
          method: 'POST',
          headers: pageHeaders(host.origin, cookie),
          body: JSON.stringify(input),
        });
        return JSON.parse(answer.body.toString('utf8')) as unknown;
      });
    },
    async end() {
      await host.close();
      await tidy();
    },
    isOneWindow: false,
  });
}

/** The handler that the desktop program registers, called as Electron would for our own page. */
function ipcSend(running: RunningProgram): Send {
  let handler: ((event: never, name: unknown, input: unknown) => unknown) | null = null;
  serveIpc({ handle: (_channel, listener) => (handler = listener as never) }, running.dispatch);
  const frame = { url: `${pageOrigin}/` };
  const event = { sender: { mainFrame: frame }, senderFrame: frame };
  return async (name, input) => {
    if (handler === null) throw new Error('nothing was registered');
    // The structured clone of the real channel.
    return structuredClone(await handler(event as never, name, structuredClone(input)));
  };
}
