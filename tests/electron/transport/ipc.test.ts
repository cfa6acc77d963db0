import { describe, expect, it } from 'vitest';
import { limits } from '../../../core/contract/parts.ts';
import { askChannel } from '../../../electron/preload/channel.ts';
import { pageOrigin, serveIpc } from '../../../electron/transport/ipc.ts';

type Handler = (
  event: unknown,
  name?: unknown,
  input?: unknown,
) => Promise<{ ok: boolean; error?: { code: string; facts: object } }>;

function served(): { ask: Handler; asked: unknown[][]; channels: string[] } {
  const asked: unknown[][] = [];
  const channels: string[] = [];
  let handler: Handler | null = null;
  serveIpc(
    {
      handle: (channel, listener) => {
        channels.push(channel);
        handler = listener as unknown as Handler;
      },
    },
    (name, raw, caller) => {
      asked.push([name, raw, caller.client]);
      return Promise.resolve({ ok: true, value: null });
    },
  );
  if (handler === null) throw new Error('nothing was registered');
  return { ask: handler, asked, channels };
}

const from = (url: string, isMain = true): unknown => {
  const frame = { url };
  return { sender: { mainFrame: isMain ? frame : { url: `${pageOrigin}/` } }, senderFrame: frame };
};

describe('the one channel of the desktop program', () => {
  it('is one', () => {
    expect(served().channels).toEqual([askChannel]);
  });

  it('answers the main frame of our own page', async () => {
    const { ask, asked } = served();
    for (const url of [pageOrigin, `${pageOrigin}/`, `${pageOrigin}/index.html#/shelf`]) {
      expect(await ask(from(url), 'setup.state', {})).toMatchObject({ ok: true });
    }
    expect(asked).toHaveLength(3);
    expect(asked[0]).toEqual(['setup.state', {}, 'window']);
  });

  // Electron's security checklist, item 17: the sender of every message is looked at.
  it.each([
    'https://evil.example/',
    'http://127.0.0.1:1/',
    'file:///etc/passwd',
    'about:blank',
    'data:text/html,x',
    '',
    'app://fairleaf.evil.example/',
    'app://other/',
    'app://fairleafx/',
    'https://app//fairleaf/',
  ])('refuses a page from %s', async (url) => {
    const { ask, asked } = served();
    expect(await ask(from(url), 'setup.state', {})).toMatchObject({ error: { code: 'not-allowed' } });
    expect(asked).toEqual([]);
  });

  it('refuses a frame inside our page, and a frame that is gone', async () => {
    const { ask, asked } = served();
    expect(await ask(from(`${pageOrigin}/`, false), 'setup.state', {})).toMatchObject({
      error: { code: 'not-allowed' },
    });
    expect(await ask({ sender: { mainFrame: null }, senderFrame: null }, 'setup.state', {})).toMatchObject({
      error: { code: 'not-allowed' },
    });
    expect(asked).toEqual([]);
  });

  it('refuses names and inputs that are none, or too long', async () => {
    const { ask, asked } = served();
    const page = from(`${pageOrigin}/`);
    for (const name of [undefined, null, 7, {}, ['setup.state']]) {
      expect(await ask(page, name, {})).toMatchObject({ error: { code: 'invalid-input' } });
    }
    const circular: { self?: unknown } = {};
    circular.self = circular;
    for (const input of [{ text: 'x'.repeat(limits.requestBytes) }, circular, { big: 1n }]) {
      expect(await ask(page, 'draft.save', input)).toMatchObject({
        error: { facts: { reason: 'too-long' } },
      });
    }
    expect(asked).toEqual([]);
  });
});
