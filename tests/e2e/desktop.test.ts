import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { checkDatabase } from '../../electron/check/check-database.ts';
import { openProgram, type OpenProgram } from './desktop/open-program.ts';

type Ask = { ok: boolean; value?: unknown; error?: { code: string } };

describe('the built desktop program', () => {
  const built = new URL('../../out/electron/main.js', import.meta.url);
  let folder: string;
  let file: string;
  let program: OpenProgram;
  beforeAll(async () => {
    expect(existsSync(built), 'out/ is missing: run “npm run build”').toBe(true);
    folder = mkdtempSync(join(tmpdir(), 'fairleaf-desktop-'));
    file = join(folder, 'notebook.fairleaf');
    program = await openProgram(file);
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  const ask = (name: string, input: object): Promise<Ask> =>
    program.page.evaluate(
      async ([request, body]) =>
        await (window as never as { fairleaf: { ask(n: string, i: unknown): Promise<Ask> } }).fairleaf.ask(
          request,
          JSON.parse(body),
        ),
      [name, JSON.stringify(input)] as const,
    );
  const told = (kind: string) => program.told.filter((one) => one.told === kind);

  it('shows its page, and gives it one object with one function', async () => {
    await program.page.getByRole('heading', { name: 'Fairleaf' }).waitFor();
    const given = await program.page.evaluate(() => {
      const bridge = (window as never as { fairleaf: object }).fairleaf;
      const names = ['require', 'process', 'module', 'electron', 'ipcRenderer', 'Buffer', 'global'];
      return { bridge: Object.keys(bridge), reachable: names.filter((name) => name in window) };
    });
    expect(given).toEqual({ bridge: ['ask'], reachable: [] });
    if (!program.isReal) expect(told('exposed')).toMatchObject([{ names: ['fairleaf: ask'] }]);
  });

  it('makes the demo and signs in through the page and the one channel', async () => {
    const { page } = program;
    await page.getByText('Look around with a demo record').click();
    await page.getByRole('heading', { name: 'Whose record?' }).waitFor({ timeout: 60_000 });
    const setup = (await ask('setup.state', {})).value as {
      people: { id: string; printedName: string; role: string }[];
      demoPassphrase: string;
    };
    const student = setup.people.find((person) => person.role === 'student')?.printedName ?? '';
    await page.getByRole('button', { name: student }).click();
    await page.getByRole('textbox', { name: 'Passphrase' }).fill(setup.demoPassphrase);
    await page.getByRole('button', { name: 'Open', exact: true }).click();
    await page.getByRole('navigation', { name: 'Places' }).waitFor({ timeout: 30_000 });
    expect(await ask('record.list', {})).toMatchObject({ ok: true });
  });

  it('answers what is no request, and does not take asking over the page’s address', async () => {
    expect(await ask('no.such-request', {})).toMatchObject({ error: { code: 'invalid-input' } });
    const status = await program.page.evaluate(async () => {
      const answer = await fetch('./ask/setup.state', {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: '{}',
      });
      return answer.status;
    });
    expect(status).toBe(404);
  });

  it('runs no script that the page did not bring', async () => {
    const ran = await program.page.evaluate(async () => {
      const script = document.createElement('script');
      script.textContent = 'window.__ran = true';
      document.head.append(script);
      const image = document.createElement('img');
      image.setAttribute('onerror', 'window.__ran = true');
      image.src = './nothing.png';
      document.body.append(image);
      await new Promise((resolve) => setTimeout(resolve, 300));
      image.remove();
      return '__ran' in window;
    });
    expect(ran).toBe(false);
  });

  it('lets no page in a frame ask', async () => {
    // The policy allows no frame at all; one that was there all the same would not be answered.
    const frames = await program.page.evaluate(async () => {
      const frame = document.createElement('iframe');
      frame.src = './index.html';
      document.body.append(frame);
      await new Promise((resolve) => setTimeout(resolve, 300));
      let answer: unknown;
      try {
        const inner = frame.contentWindow as never as {
          fairleaf?: { ask(n: string, i: object): Promise<unknown> };
        };
        answer = inner.fairleaf === undefined ? 'no bridge' : await inner.fairleaf.ask('setup.state', {});
      } catch {
        answer = 'unreachable';
      }
      frame.remove();
      return answer;
    });
    expect(frames === 'unreachable' || frames === 'no bridge' || (frames as Ask).ok === false).toBe(true);
  });

  it('opens known https addresses in the system’s browser, and nothing else anywhere', async () => {
    await program.page.evaluate(() => {
      for (const url of [
        'https://doi.org/10.1039/x',
        'https://evil.example/',
        'file:///etc/passwd',
        'javascript:alert(1)',
        'smb://host/share',
      ]) {
        window.open(url);
      }
    });
    await program.page.waitForTimeout(300);
    if (program.isReal) return;
    expect(told('opened-outside').map((one) => one['url'])).toEqual(['https://doi.org/10.1039/x']);
    expect(new Set(told('window-open').map((one) => one['action']))).toEqual(new Set(['deny']));
  });

  it('does not leave its page', async () => {
    const before = program.page.url();
    await program.page.evaluate(() => {
      location.href = 'https://evil.example/';
    });
    await program.page.waitForTimeout(500);
    expect(program.page.url()).toBe(before);
    if (!program.isReal) expect(told('navigation')).toMatchObject([{ isPrevented: true }]);
  });

  it('denies what pages may ask the system for', () => {
    if (program.isReal) return;
    for (const kind of ['permission', 'permission-check', 'device']) {
      expect(told(kind)).toMatchObject([{ allowed: false }]);
    }
    expect(told('outside-request')).toEqual([]);
  });

  it('closes the session when the computer is locked', async () => {
    if (program.isReal) return;
    program.say('lock-screen');
    await expect.poll(async () => (await ask('record.list', {})).error?.code).toBe('not-signed-in');
  });

  it('quits with the notebook closed and sound, and nothing left beside it but its copy', async () => {
    expect(await program.quit()).toBe(0);
    expect(readdirSync(folder).sort()).toEqual(['notebook.fairleaf', 'notebook.fairleaf.copies']);
    const copies = readdirSync(join(folder, 'notebook.fairleaf.copies'));
    expect(copies).toHaveLength(1);
    const copy = await checkDatabase(join(folder, 'notebook.fairleaf.copies', copies[0] ?? ''));
    expect(copy.ok && copy.value.isSound).toBe(true);
    expect(readFileSync(file).subarray(0, 15).toString()).toBe('SQLite format 3');
    const report = await checkDatabase(file);
    expect(report.ok && report.value.isSound).toBe(true);
  });
});
