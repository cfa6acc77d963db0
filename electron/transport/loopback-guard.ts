import { randomBytes, timingSafeEqual } from 'node:crypto';

const cookieName = 'fairleaf';

/** One browser that came with a good ticket. */
interface Admitted {
  readonly token: string;
  readonly client: string;
}

/** Why a request is turned away, as a status and a line to read. */
export interface TurnedAway {
  readonly status: 403 | 421;
  readonly text: string;
}

/**
 * Who may talk to the loopback host: whoever opened it with a ticket, from the page it served itself.
 * Any web page can send requests to 127.0.0.1, and cookies know nothing of ports, so each of host name,
 * origin, fetch metadata and cookie is looked at.
 */
export class LoopbackGuard {
  readonly #tickets = new Set<string>();
  readonly #admitted: Admitted[] = [];
  #host = '';

  /** @param host `127.0.0.1:port`, known once the port is */
  listenOn(host: string): void {
    this.#host = host;
  }

  /** A ticket opens the door once; put it into the first address. */
  issueTicket(): string {
    const ticket = randomBytes(32).toString('base64url');
    this.#tickets.add(ticket);
    return ticket;
  }

  /** Takes a ticket; the cookie to set, or null for a ticket that was used or never issued. */
  redeem(ticket: string): string | null {
    const known = [...this.#tickets].find((one) => isSame(one, ticket));
    if (known === undefined) return null;
    this.#tickets.delete(known);
    const token = randomBytes(32).toString('base64url');
    this.#admitted.push({ token, client: `browser-${this.#admitted.length + 1}` });
    return `${cookieName}=${token}; Path=/; HttpOnly; SameSite=Strict`;
  }

  /** What is wrong with where a request comes from; null when nothing is. Cookies are `clientOf`'s. */
  turnAway(request: Request): TurnedAway | null {
    // A name that was made to resolve to this computer (DNS rebinding) shows here.
    if (request.headers.get('host') !== this.#host) {
      return { status: 421, text: 'This is not the address of this program.' };
    }
    const isAsking = request.method !== 'GET' && request.method !== 'HEAD';
    const origin = request.headers.get('origin');
    if ((isAsking || origin !== null) && origin !== `http://${this.#host}`) {
      return { status: 403, text: 'Not from this page.' };
    }
    const site = request.headers.get('sec-fetch-site');
    if (isAsking ? site !== 'same-origin' : site !== null && site !== 'same-origin' && site !== 'none') {
      return { status: 403, text: 'Not from this page.' };
    }
    return null;
  }

  clientOf(request: Request): string | null {
    const given = cookieOf(request.headers.get('cookie') ?? '');
    if (given === null) return null;
    return this.#admitted.find((one) => isSame(one.token, given))?.client ?? null;
  }
}

function cookieOf(header: string): string | null {
  for (const part of header.split(';')) {
    const [name, value] = part.trim().split('=', 2);
    if (name === cookieName && value !== undefined) return value;
  }
  return null;
}

/** Takes the same time wherever the two differ. */
function isSame(a: string, b: string): boolean {
  const left = Buffer.from(a);
  const right = Buffer.from(b);
  return left.length === right.length && timingSafeEqual(left, right);
}
