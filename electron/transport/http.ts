import { serve, type ServerType } from '@hono/node-server';
import { Hono } from 'hono';
import type { AddressInfo } from 'node:net';
import { LoopbackGuard } from './loopback-guard.ts';
import { pageApp, type PageOptions } from './page.ts';

export interface LoopbackHost {
  /** `http://127.0.0.1:port` */
  readonly origin: string;
  /** An address that opens the door once. */
  newAddress(): string;
  close(): Promise<void>;
}

/** The loopback host's app: guards first, then the ticket, then the page. */
export function loopbackApp(options: Omit<PageOptions, 'clientOf'>, guard: LoopbackGuard): Hono {
  const page = pageApp({ ...options, clientOf: (request) => guard.clientOf(request) });
  const app = new Hono();
  app.use(async (context, next) => {
    const away = guard.turnAway(context.req.raw);
    if (away !== null) return context.text(away.text, away.status);
    const ticket = context.req.query('ticket');
    if (ticket !== undefined && context.req.path === '/' && context.req.method === 'GET') {
      const cookie = guard.redeem(ticket);
      if (cookie === null) {
        // The same browser coming back to its first address is let in on its cookie.
        if (guard.clientOf(context.req.raw) !== null) return context.redirect('/', 303);
        return context.text('This address was used already. Start the program again for a new one.', 403);
      }
      context.header('set-cookie', cookie);
      context.header('referrer-policy', 'no-referrer');
      context.header('cache-control', 'no-store');
      return context.redirect('/', 303);
    }
    return next();
  });
  app.route('/', page);
  return app;
}

/** Serves the page on this computer only. @param port 0 takes a free one */
export function startLoopback(options: Omit<PageOptions, 'clientOf'>, port: number): Promise<LoopbackHost> {
  const guard = new LoopbackGuard();
  const app = loopbackApp(options, guard);
  return new Promise((resolve, reject) => {
    const server: ServerType = serve(
      { fetch: app.fetch, hostname: '127.0.0.1', port },
      (info: AddressInfo) => {
        const host = `127.0.0.1:${info.port}`;
        guard.listenOn(host);
        resolve({
          origin: `http://${host}`,
          newAddress: () => `http://${host}/?ticket=${guard.issueTicket()}`,
          close: () =>
            new Promise((closed) => {
              server.close(() => closed());
              if ('closeAllConnections' in server) server.closeAllConnections();
            }),
        });
      },
    );
    server.on('error', reject);
  });
}
