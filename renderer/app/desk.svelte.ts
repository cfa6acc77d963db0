import type { InputOf } from '../../core/contract/request-map.ts';
import type { EntryView, SessionView, SetupView } from '../../core/contract/views.ts';
import type { Client } from '../client/client.ts';
import { refusalSentence } from '../client/refusal-sentence.ts';
import { watchedClient } from '../client/watched-client.ts';
import { addressOf, placeAt } from './address.ts';
import { watchIdle } from './idle-watch.ts';
import type { Place, SigningRequest } from './places.ts';

export interface Notice {
  readonly id: number;
  readonly text: string;
  readonly kind: 'done' | 'refused';
}

/** What is asked to be made into a file. */
export type Binding =
  | { readonly what: 'entry'; readonly entryId: string; readonly title: string }
  | { readonly what: 'record'; readonly recordId: string; readonly title: string }
  | { readonly what: 'hand-in'; readonly entryId: string; readonly title: string }
  | { readonly what: 'deposit'; readonly recordIds: readonly string[]; readonly title: string }
  | { readonly what: 'own-notebook'; readonly title: string }
  | { readonly what: 'trail'; readonly filter: InputOf<'trail.export'>; readonly title: string };

interface OpenSigning {
  readonly request: SigningRequest;
  readonly resolve: (entry: EntryView | null) => void;
}

/** Who sits at the desk, which page lies on it, and what lies on top of it. */
export class Desk {
  readonly client: Client;
  setup: SetupView | null = $state.raw(null);
  session: SessionView | null = $state.raw(null);
  /** The session is locked; the page stays mounted underneath, hidden, for the same person. */
  isLocked = $state(false);
  place: Place = $state.raw({ at: 'shelf' });
  notices: readonly Notice[] = $state.raw([]);
  secondsToLock: number | null = $state(null);
  signing: OpenSigning | null = $state.raw(null);
  binding: Binding | null = $state.raw(null);
  /** Entries waiting in the tray, for the number on the spine; null when there is no tray. */
  waiting: number | null = $state(null);
  /** Why the notebook could not be opened at all. */
  failure = $state('');

  #save: (() => Promise<void>) | null = null;
  #stopWatching: (() => void) | null = null;
  #lastNotice = 0;

  constructor(client: Client) {
    this.client = watchedClient(client, () => this.#onNotSignedIn());
    addEventListener('hashchange', () => this.#followAddress());
  }

  /** Reads what there is: a notebook or none, and whether somebody is still signed in. */
  async start(): Promise<void> {
    const setup = await this.client.ask('setup.state', {});
    if (!setup.ok) {
      this.failure = refusalSentence(setup.error);
      return;
    }
    this.setup = setup.value;
    const current = await this.client.ask('session.current', {});
    if (current.ok && current.value.session !== null) this.openSession(current.value.session);
  }

  openSession(session: SessionView): void {
    const isSame = this.session?.person.id === session.person.id;
    this.session = session;
    this.isLocked = false;
    this.secondsToLock = null;
    // Another person on the same computer starts at their own first page, not at somebody's entry.
    const named = placeAt(location.hash);
    if (!isSame && this.#hadSession) this.#goTo(this.#firstPlace(), 'replace');
    else if (named === null) this.#goTo(this.#firstPlace(), 'replace');
    else this.place = named;
    this.#hadSession = true;
    // The check that runs when the notebook is opened may have found something meanwhile.
    void this.readSetup();
    void this.countWaiting();
    this.#stopWatching?.();
    this.#stopWatching = watchIdle(session.idleMinutes, {
      onNear: (seconds) => (this.secondsToLock = seconds),
      onIdle: () => void this.lock(),
      onBusy: () => void this.client.ask('session.current', {}),
    });
  }
  #hadSession = false;

  /** Saves, then closes the session and covers the page. */
  async lock(): Promise<void> {
    if (this.session === null || this.isLocked) return;
    await this.#save?.();
    this.#cover();
    await this.client.ask('session.close', {});
  }

  /** Saves, closes the session and clears the desk for the next person. */
  async leave(): Promise<void> {
    await this.#save?.();
    this.#stopWatching?.();
    this.session = null;
    this.isLocked = false;
    this.secondsToLock = null;
    this.#clearTop();
    await this.client.ask('session.close', {});
    await this.readSetup();
  }

  /** The people and the institution may have changed. */
  async readSetup(): Promise<void> {
    const setup = await this.client.ask('setup.state', {});
    if (setup.ok) this.setup = setup.value;
  }

  go = (place: Place): void => {
    void (async () => {
      await this.#save?.();
      this.#goTo(place, 'push');
    })();
  };

  keepSaver = (save: (() => Promise<void>) | null): void => {
    this.#save = save;
  };

  say = (text: string, kind: 'done' | 'refused' = 'done'): void => {
    const notice: Notice = { id: ++this.#lastNotice, text, kind };
    // The newest three: more would cover the page.
    this.notices = [...this.notices.slice(-2), notice];
    // A refusal stays until it is put away; nobody should miss it for looking elsewhere.
    if (kind === 'done') setTimeout(() => this.putAway(notice.id), 6_000);
  };

  putAway = (id: number): void => {
    this.notices = this.notices.filter((notice) => notice.id !== id);
  };

  openSigning = (request: SigningRequest): Promise<EntryView | null> => {
    this.signing?.resolve(null);
    return new Promise((resolve) => (this.signing = { request, resolve }));
  };

  closeSigning = (entry: EntryView | null): void => {
    this.signing?.resolve(entry);
    this.signing = null;
    if (entry !== null) void this.countWaiting();
  };

  async countWaiting(): Promise<void> {
    if (this.session?.person.role !== 'instructor') {
      this.waiting = null;
      return;
    }
    const tray = await this.client.ask('tray.list', {});
    if (tray.ok) this.waiting = tray.value.lines.length;
  }

  #firstPlace(): Place {
    return this.session?.person.role === 'instructor' ? { at: 'tray' } : { at: 'shelf' };
  }

  /** Nothing that lay on top of the page left behind lies on the next one. */
  #clearTop(): void {
    this.signing?.resolve(null);
    this.signing = null;
    this.binding = null;
  }

  #goTo(place: Place, how: 'push' | 'replace'): void {
    this.#clearTop();
    const address = addressOf(place);
    if (how === 'replace') history.replaceState(null, '', address);
    else if (location.hash !== address) history.pushState(null, '', address);
    this.place = place;
  }

  #followAddress(): void {
    const place = placeAt(location.hash);
    if (place === null) return;
    this.#clearTop();
    this.place = place;
  }

  #cover(): void {
    this.#stopWatching?.();
    this.isLocked = true;
    this.secondsToLock = null;
    this.#clearTop();
  }

  #onNotSignedIn(): void {
    if (this.session !== null && !this.isLocked) this.#cover();
  }
}
