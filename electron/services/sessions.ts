import type { PersonView } from '../../core/contract/views.ts';
import type { Clock } from './program.ts';

/** Minutes without a request after which a session locks. */
export const idleMinutes = 15;

export interface Session {
  readonly person: PersonView;
  readonly openedAt: string;
  /** Reading of the monotonic clock at the last request. */
  lastUsedMs: number;
}

/** Who is signed in, per browser or window. Kept in memory: a restart signs everybody out. */
export class Sessions {
  readonly #byClient = new Map<string, Session>();

  open(client: string, person: PersonView, clock: Clock): Session {
    const session = { person, openedAt: clock.now(), lastUsedMs: clock.monotonicMs() };
    this.#byClient.set(client, session);
    return session;
  }

  /** The session of a client, whether or not it has been idle too long. */
  of(client: string): Session | null {
    return this.#byClient.get(client) ?? null;
  }

  close(client: string): void {
    this.#byClient.delete(client);
  }

  /** Sessions that have been idle too long, by client. */
  idle(clock: Clock): readonly (readonly [string, Session])[] {
    return [...this.#byClient].filter(([, session]) => isIdle(session, clock));
  }

  all(): readonly (readonly [string, Session])[] {
    return [...this.#byClient];
  }

  /** A person's name changed hands or key: they sign in again. */
  closeAllOf(personId: string): void {
    for (const [client, session] of this.#byClient) {
      if (session.person.id === personId) this.#byClient.delete(client);
    }
  }
}

export const isIdle = (session: Session, clock: Clock): boolean =>
  clock.monotonicMs() - session.lastUsedMs >= idleMinutes * 60_000;
