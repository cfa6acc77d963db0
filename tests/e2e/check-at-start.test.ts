import { join } from 'node:path';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startHost, type RunningHost } from '../../electron/host/start-host.ts';
import { withoutGuards } from '../electron/check/notebook-file.ts';
import { makeDemo, signIn, sizes, startDemoDesk, type DemoDesk } from '../renderer/demo-desk.ts';

let desk: DemoDesk;
let folder: string;
let host: RunningHost;
beforeAll(async () => {
  desk = await startDemoDesk();
  folder = await mkdtemp(join(tmpdir(), 'fairleaf-changed-'));
  const { page, context } = await desk.open();
  await makeDemo(page);
  await context.close();
  const { notebook } = desk.host.running.program;
  if (!notebook.ok) throw new Error('not open');
  const path = join(folder, 'changed.fairleaf');
  await notebook.value.copyTo(path);
  const database = new Database(path);
  withoutGuards(database, () =>
    database.exec(
      `update version set bytes = replace(bytes, '"program":"fairleaf', '"program":"fairlief') where n = 1`,
    ),
  );
  database.close();
  host = await startHost({ path, port: 0, folder: desk.pages, checksAtStart: true });
});
afterAll(async () => {
  await host.stop();
  await desk.stop();
  await rm(folder, { recursive: true, force: true });
});

describe('a notebook that was changed behind the program’s back', () => {
  it.each(['wide', 'small'] as const)(
    'opens with a banner that names the place, and takes nothing (%s)',
    async (size) => {
      const context = await desk.browser.newContext({ viewport: sizes[size], locale: 'en-GB' });
      const page = await context.newPage();
      await page.goto(host.newAddress());
      await host.running.checked;
      await signIn(page, 'student');
      const banner = page.getByRole('status').filter({ hasText: 'Read only.' });
      await banner.waitFor();
      expect(await banner.textContent()).toMatch(
        /The check of this notebook fails at entry \d+ of “.+”, version 1: /,
      );
      const box = await banner.boundingBox();
      expect(box?.width).toBeGreaterThan(300);
      expect(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth)).toBe(true);
      const shots = process.env['FAIRLEAF_SHOTS'];
      if (shots !== undefined) await page.screenshot({ path: join(shots, `read-only-${size}.png`) });
      await context.close();
    },
  );
});
