import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { connect } from 'node:net';
import { networkInterfaces, tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { limits } from '../../../core/contract/parts.ts';
import { startLoopback, type LoopbackHost } from '../../../electron/transport/http.ts';
import { enter, pageHeaders, sendHttp, type HttpAnswer } from '../services/http-ask.ts';

let folder: string;
let host: LoopbackHost;
let cookie: string;
const dispatched: { name: string; raw: unknown; client: string }[] = [];

beforeAll(async () => {
  const parent = mkdtempSync(join(tmpdir(), 'fairleaf-attacks-'));
  folder = join(parent, 'pages');
  mkdirSync(folder);
  writeFileSync(join(folder, 'index.html'), '<p>the page</p>');
  writeFileSync(join(folder, 'main.js'), '1');
  writeFileSync(join(folder, '.hidden.js'), 'hidden');
  writeFileSync(join(folder, 'notes.fairleaf'), 'a notebook by mistake');
  writeFileSync(join(parent, 'secret.txt'), 'the secret');
  symlinkSync(join(parent, 'secret.txt'), join(folder, 'link.txt'));
  host = await startLoopback(
    {
      folder,
      dispatch: (name, raw, { client }) => {
        dispatched.push({ name, raw, client });
        if (name === 'fails.badly') return Promise.reject(new Error('/home/somebody/secret path'));
        return Promise.resolve({ ok: true, value: name });
      },
      jobFile: (jobId, client) =>
        jobId === 'j1' && client === 'browser-1'
          ? { bytes: Buffer.from('%PDF'), name: 'Entry 1 “ä”.pdf', mediaType: 'application/pdf' }
          : null,
    },
    0,
  );
  cookie = await enter(host.newAddress());
});
afterAll(async () => {
  await host.close();
  rmSync(join(folder, '..'), { recursive: true, force: true });
});

const own = () => pageHeaders(host.origin, cookie);
const without = (...names: readonly string[]) =>
  Object.fromEntries(Object.entries(own()).filter(([name]) => !names.includes(name)));
const ask = (headers: object, body: string | Buffer = '{}', path = '/ask/setup.state'): Promise<HttpAnswer> =>
  sendHttp(host.origin, path, { method: 'POST', headers: { ...headers }, body });
const page = (path: string, headers: object = {}): Promise<HttpAnswer> =>
  sendHttp(host.origin, path, { headers: { host: new URL(host.origin).host, cookie, ...headers } });

describe('the loopback host', () => {
  it('answers its own page', async () => {
    expect((await ask(own())).status).toBe(200);
    expect((await page('/')).body.toString()).toBe('<p>the page</p>');
    expect(dispatched.at(-1)).toEqual({ name: 'setup.state', raw: {}, client: 'browser-1' });
  });

  it('listens on this computer only', async () => {
    const { port } = new URL(host.origin);
    const others = Object.values(networkInterfaces())
      .flat()
      .filter((one) => one?.internal === false && one.family === 'IPv4');
    for (const other of others) {
      const answer = await new Promise<string>((resolve) => {
        const socket = connect(Number(port), other?.address ?? '');
        socket.on('connect', () => resolve('connected'));
        socket.on('error', () => resolve('refused'));
        socket.setTimeout(2000, () => resolve('silent'));
      });
      expect(answer).not.toBe('connected');
    }
  });

  const foreign: readonly (readonly [string, () => object, number])[] = [
    ['a name made to point here (DNS rebinding)', () => ({ ...own(), host: 'evil.example' }), 421],
    [
      'this computer by another name',
      () => ({ ...own(), host: `localhost:${new URL(host.origin).port}` }),
      421,
    ],
    ['another port', () => ({ ...own(), host: '127.0.0.1:1' }), 421],
    ['a page of another origin', () => ({ ...own(), origin: 'https://evil.example' }), 403],
    ['a page on another port of this computer', () => ({ ...own(), origin: 'http://127.0.0.1:1' }), 403],
    ['a sandboxed frame', () => ({ ...own(), origin: 'null' }), 403],
    ['no origin at all', () => without('origin'), 403],
    ['another site, as the browser tells', () => ({ ...own(), 'sec-fetch-site': 'cross-site' }), 403],
    ['the same site, but not this page', () => ({ ...own(), 'sec-fetch-site': 'same-site' }), 403],
    ['an address typed by hand', () => ({ ...own(), 'sec-fetch-site': 'none' }), 403],
    ['no fetch metadata', () => without('sec-fetch-site'), 403],
    ['no cookie', () => without('cookie'), 403],
    ['a made-up cookie', () => ({ ...own(), cookie: `fairleaf=${'A'.repeat(43)}` }), 403],
    ['half a cookie', () => ({ ...own(), cookie: cookie.slice(0, -4) }), 403],
    ['a form', () => ({ ...own(), 'content-type': 'application/x-www-form-urlencoded' }), 415],
    ['plain text, which needs no preflight', () => ({ ...own(), 'content-type': 'text/plain' }), 415],
    ['no type', () => without('content-type'), 415],
    ['JSON in another code', () => ({ ...own(), 'content-type': 'application/json; charset=utf-7' }), 415],
  ];
  it.each(foreign)('turns away %s', async (_, headers, status) => {
    const before = dispatched.length;
    const answer = await ask(headers());
    expect(answer.status).toBe(status);
    expect(dispatched.length).toBe(before);
  });

  it('turns away a body that is too long, with or without saying how long it is', async () => {
    const before = dispatched.length;
    const long = Buffer.alloc(limits.requestBytes + 10, 0x20);
    expect((await ask(own(), long)).status).toBe(413);
    expect((await ask({ ...own(), 'transfer-encoding': 'chunked' }, long)).status).toBe(413);
    expect(dispatched.length).toBe(before);
  });

  it.each([
    ['nothing', ''],
    ['half a text', '{"a":'],
    ['two texts', '{} {}'],
    ['bytes that are no UTF-8', Buffer.from([0x22, 0xc3, 0x28, 0x22])],
    ['a comment', '{} // x'],
    ['NaN', 'NaN'],
  ])('turns away %s where JSON belongs', async (_, body) => {
    const before = dispatched.length;
    expect((await ask(own(), body)).status).toBe(400);
    expect(dispatched.length).toBe(before);
  });

  it.each(['GET', 'PUT', 'DELETE', 'PATCH', 'OPTIONS'])('does not take %s for asking', async (method) => {
    const before = dispatched.length;
    const answer = await sendHttp(host.origin, '/ask/setup.state', { method, headers: { ...own() } });
    expect(answer.status).toBe(404);
    expect(answer.headers['access-control-allow-origin']).toBeUndefined();
    expect(dispatched.length).toBe(before);
  });

  it.each([
    '/../secret.txt',
    '/%2e%2e/secret.txt',
    '/..%2fsecret.txt',
    '/%2e%2e%2fsecret.txt',
    '/..%5csecret.txt',
    '/assets/../../secret.txt',
    '//secret.txt',
    '/%00',
    '/%E0%A4%A',
    '/link.txt',
    '/.hidden.js',
    '/%2ehidden.js',
    '/notes.fairleaf',
    '/main.js/',
    '/nothing.html',
    '/C:/Windows/win.ini',
    `/${'a/'.repeat(3000)}x.js`,
  ])('serves nothing from %s', async (path) => {
    const answer = await page(path);
    expect([404, 431]).toContain(answer.status);
    expect(answer.body.toString()).not.toMatch(/secret|hidden|mistake/);
  });

  it('shows no page to a browser without its cookie', async () => {
    const answer = await sendHttp(host.origin, '/', { headers: { host: new URL(host.origin).host } });
    expect(answer.status).toBe(403);
  });

  it('opens the door once per address', async () => {
    const address = host.newAddress();
    await enter(address);
    await expect(enter(address)).rejects.toThrow('403');
    await expect(enter(`${host.origin}/?ticket=${'A'.repeat(43)}`)).rejects.toThrow('403');
    await expect(enter(`${host.origin}/?ticket=`)).rejects.toThrow('403');
  });

  it('lets the browser that came in by an address come in by it again', async () => {
    const address = new URL(host.newAddress());
    const mine = await enter(address.href);
    const again = await sendHttp(host.origin, `/${address.search}`, {
      headers: { host: address.host, cookie: mine },
    });
    expect(again.status).toBe(303);
    expect(again.headers['set-cookie']).toBeUndefined();
  });

  it('keeps its cookie from scripts and from other sites', async () => {
    const address = new URL(host.newAddress());
    const answer = await sendHttp(host.origin, `/${address.search}`, { headers: { host: address.host } });
    expect(answer.headers['set-cookie']?.[0]).toMatch(
      /^fairleaf=[\w-]{43}; Path=\/; HttpOnly; SameSite=Strict$/,
    );
    expect(answer.headers.location).toBe('/');
  });

  it('sends its policy with every answer', async () => {
    const answers = [
      await page('/'),
      await page('/main.js'),
      await page('/nothing.html'),
      await ask(own()),
      await page('/file/j1'),
      await ask(without('content-type')),
      await ask(own(), '{}', '/ask/fails.badly'),
    ];
    for (const { headers } of answers) {
      const policy = String(headers['content-security-policy']);
      expect(policy).toMatch(/^default-src 'none'; script-src 'self';/);
      // Style attributes are the one exception, and scripts have none.
      expect(policy.replace("style-src-attr 'unsafe-inline'", '')).not.toMatch(/unsafe|http:|\*/);
      expect(headers['x-content-type-options']).toBe('nosniff');
      expect(headers['referrer-policy']).toBe('no-referrer');
      expect(headers['cache-control']).toBe('no-store');
    }
  });

  it('says nothing of what went wrong inside', async () => {
    const answer = await ask(own(), '{}', '/ask/fails.badly');
    expect(answer.status).toBe(500);
    expect(JSON.parse(answer.body.toString())).toEqual({
      ok: false,
      error: { code: 'internal', where: '', facts: {} },
    });
  });

  it('gives a finished file to the browser that asked for it, and to no other', async () => {
    const mine = await page('/file/j1');
    expect(mine.status).toBe(200);
    expect(mine.headers['content-disposition']).toBe(
      `attachment; filename="Entry 1 ___.pdf"; filename*=UTF-8''Entry%201%20%E2%80%9C%C3%A4%E2%80%9D.pdf`,
    );
    const other = await enter(host.newAddress());
    expect((await page('/file/j1', { cookie: other })).status).toBe(404);
    expect((await page('/file/j1', { cookie: 'fairleaf=x' })).status).toBe(403);
  });
});
