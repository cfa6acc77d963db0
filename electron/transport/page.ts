import { createReadStream } from 'node:fs';
import { Readable } from 'node:stream';
import { Hono, type Context } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import { requestBytesOf } from '../../core/contract/parts.ts';
import { refuse } from '../services/program.ts';
import type { Dispatch } from '../services/dispatcher.ts';
import { readPageFile } from './page-files.ts';

/** Nothing runs and nothing loads but what this page brought with it. */
export const policy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  // Svelte sets style attributes; a style element or a style sheet from elsewhere stays out.
  "style-src-attr 'unsafe-inline'",
  "img-src 'self' data: blob:",
  "font-src 'self'",
  "connect-src 'self'",
  "worker-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
  "object-src 'none'",
].join('; ');

const headers: Readonly<Record<string, string>> = {
  'content-security-policy': policy,
  'x-content-type-options': 'nosniff',
  'x-frame-options': 'DENY',
  'referrer-policy': 'no-referrer',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'permissions-policy': 'camera=(), microphone=(), geolocation=(), usb=(), serial=()',
  'cache-control': 'no-store',
};

/** A finished job's file, for the client that asked for it. */
export interface JobFile {
  readonly bytes: Uint8Array;
  readonly name: string;
  readonly mediaType: string;
  /** Where it stands on the disk, if it is too long to be held: it is sent from there. */
  readonly stored?: { readonly path: string; readonly sizeBytes: number };
}

/** A file attached to an entry, as it may be shown. */
export interface AttachedFile extends JobFile {
  /** True for what a page shows in itself; everything else is saved. */
  readonly isPicture: boolean;
}

export interface PageOptions {
  /** Folder of the built pages. */
  readonly folder: string;
  /** Answers `POST ask/<name>`; null where asking goes another way. */
  readonly dispatch: Dispatch | null;
  readonly jobFile: (jobId: string, client: string) => JobFile | null;
  /** Null for a file there is not, and for one that this client may not see. */
  readonly attachment?: (
    which: { readonly entryId: string; readonly sha256: string; readonly isOriginal: boolean },
    client: string,
  ) => Promise<AttachedFile | null>;
  /** Who is asking, as far as the transport knows; null is refused. */
  readonly clientOf: (request: Request) => string | null;
}

/**
 * The pages and the requests behind them, as one function from Request to Response. The desktop program
 * serves it under its own scheme, the loopback host over HTTP with its guards in front.
 */
export function pageApp(options: PageOptions): Hono {
  const app = new Hono();
  app.use(async (context, next) => {
    await next();
    for (const [name, value] of Object.entries(headers)) context.res.headers.set(name, value);
    // A file from outside, opened by itself, is nothing but a file.
    if (context.req.path.startsWith('/attachment/')) {
      context.res.headers.set('content-security-policy', "default-src 'none'; sandbox");
    }
  });
  app.onError((_, context) => context.json(refuse('internal'), 500));
  app.notFound((context) => context.text('There is nothing here.', 404));

  const { dispatch } = options;
  if (dispatch !== null) serveAsking(app, dispatch, options.clientOf);

  app.get('/file/:jobId', (context) => {
    const client = options.clientOf(context.req.raw);
    if (client === null) return context.text('Not allowed.', 403);
    const file = options.jobFile(context.req.param('jobId'), client);
    if (file === null) return context.notFound();
    const about = { 'content-type': file.mediaType, 'content-disposition': saved(file.name) };
    if (file.stored === undefined) return context.body(new Uint8Array(file.bytes), 200, about);
    return context.body(Readable.toWeb(createReadStream(file.stored.path)) as ReadableStream, 200, {
      ...about,
      'content-length': String(file.stored.sizeBytes),
    });
  });

  app.get('/attachment/:entryId/:sha256', async (context) => {
    const client = options.clientOf(context.req.raw);
    if (client === null) return context.text('Not allowed.', 403);
    const isOriginal = context.req.query('original') !== undefined;
    const file = await options.attachment?.({ ...context.req.param(), isOriginal }, client);
    if (file == null) return context.notFound();
    return context.body(new Uint8Array(file.bytes), 200, {
      'content-type': file.mediaType,
      'content-disposition': file.isPicture && !isOriginal ? 'inline' : saved(file.name),
    });
  });

  app.get('*', async (context) => {
    if (options.clientOf(context.req.raw) === null) return context.text('Not allowed.', 403);
    const file = await readPageFile(options.folder, new URL(context.req.url).pathname);
    if (file === null) return context.notFound();
    return context.body(new Uint8Array(file.bytes), 200, { 'content-type': file.mediaType });
  });
  return app;
}

function serveAsking(app: Hono, dispatch: Dispatch, clientOf: PageOptions['clientOf']): void {
  app.post(
    '/ask/:name',
    (context, next) =>
      bodyLimit({
        maxSize: requestBytesOf(context.req.param('name')),
        onError: (over) => over.json(refuse('invalid-input', '', { reason: 'too-long' }), 413),
      })(context, next),
    async (context) => {
      const client = clientOf(context.req.raw);
      if (client === null) return context.json(refuse('not-allowed'), 403);
      if (!isJson(context)) return context.json(refuse('invalid-input', '', { reason: 'not-json' }), 415);
      const raw = await readJson(context);
      if (raw === undefined) return context.json(refuse('invalid-input', '', { reason: 'not-json' }), 400);
      // A refusal is a reply like any other; the status says only whether the asking itself worked.
      return context.json((await dispatch(context.req.param('name'), raw, { client })) as object);
    },
  );
}

const isJson = (context: Context): boolean =>
  /^application\/json\s*(;\s*charset=utf-8\s*)?$/i.test(context.req.header('content-type') ?? '');

/** Undefined for what is no JSON; JSON itself has no undefined. */
async function readJson(context: Context): Promise<unknown> {
  try {
    const text = new TextDecoder('utf-8', { fatal: true }).decode(await context.req.arrayBuffer());
    return JSON.parse(text) as unknown;
  } catch {
    return undefined;
  }
}

const saved = (name: string): string =>
  `attachment; filename="${asciiName(name)}"; filename*=UTF-8''${encodeURIComponent(name)}`;
const asciiName = (name: string): string => name.replace(/[^\x20-\x7e]|["\\]/g, '_');
