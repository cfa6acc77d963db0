import { existsSync } from 'node:fs';
import { mkdtemp, readdir, rename, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type Browser, type BrowserContext, type Page } from 'playwright-core';
import { build } from 'vite';
import { fileURLToPath } from 'node:url';
import type { RequestMap, RequestName } from '../../core/contract/request-map.ts';
import { startHost, type RunningHost } from '../../electron/host/start-host.ts';

export const lights = ['day', 'evening', 'bench'] as const;
export type Light = (typeof lights)[number];
export const sizes = { wide: { width: 1440, height: 900 }, small: { width: 1024, height: 700 } } as const;
export type Size = keyof typeof sizes;

/** A real host over a fresh notebook, and a real Chromium in front of it. */
export interface DemoDesk {
  readonly host: RunningHost;
  readonly browser: Browser;
  /** Folder of the built pages. */
  readonly pages: string;
  /** A window of its own on the notebook; what the page logged as an error is collected in `faults`. */
  open(options?: { readonly light?: Light; readonly size?: Size }): Promise<DeskWindow>;
  stop(): Promise<void>;
}
export interface DeskWindow {
  readonly page: Page;
  readonly context: BrowserContext;
  readonly faults: readonly string[];
}

const root = fileURLToPath(new URL('../..', import.meta.url));

/** When a source of the pages was last changed. */
async function newestSource(): Promise<number> {
  let newest = 0;
  for (const folder of ['renderer', 'core']) {
    for (const file of await readdir(join(root, folder), { recursive: true, withFileTypes: true })) {
      if (!file.isFile()) continue;
      newest = Math.max(newest, (await stat(join(file.parentPath, file.name))).mtimeMs);
    }
  }
  return Math.round(newest);
}

/** Builds of earlier sources that nobody can still be using. */
async function dropOldPages(): Promise<void> {
  const anHourAgo = Date.now() - 3_600_000;
  for (const name of await readdir(tmpdir())) {
    const folder = join(tmpdir(), name);
    if (!name.startsWith('fairleaf-pages-')) continue;
    const age = await stat(folder).catch(() => null);
    if (age !== null && age.mtimeMs < anHourAgo) await rm(folder, { recursive: true, force: true });
  }
}

/** The pages as the sources stand now, built once for all test files; two runs never disturb each other. */
async function builtPages(): Promise<string> {
  const folder = join(tmpdir(), `fairleaf-pages-${process.getuid?.() ?? ''}-${await newestSource()}`);
  if (existsSync(join(folder, 'index.html'))) return folder;
  await dropOldPages();
  const fresh = await mkdtemp(join(tmpdir(), 'fairleaf-pages-'));
  await build({
    configFile: join(root, 'renderer/vite.config.ts'),
    logLevel: 'error',
    build: { outDir: fresh, emptyOutDir: true },
  });
  // Somebody else may have been faster; either build is the right one.
  await rename(fresh, folder).catch(() => rm(fresh, { recursive: true, force: true }));
  return folder;
}

/** Starts the host on a fresh notebook file in a temporary folder, and a browser. */
export async function startDemoDesk(): Promise<DemoDesk> {
  const folder = await mkdtemp(join(tmpdir(), 'fairleaf-desk-'));
  const pages = await builtPages();
  const host = await startHost({ path: join(folder, 'notebook.fairleaf'), port: 0, folder: pages });
  const browser = await chromium.launch({
    executablePath: process.env['CHROMIUM'] ?? '/usr/bin/chromium',
    args: ['--no-sandbox'],
  });
  return {
    host,
    browser,
    pages,
    async open({ light = 'day', size = 'wide' } = {}) {
      const context = await browser.newContext({ viewport: sizes[size], locale: 'en-GB' });
      await context.addInitScript((one) => localStorage.setItem('fairleaf-light', one), light);
      const page = await context.newPage();
      const faults: string[] = [];
      page.on('console', (message) => {
        if (message.type() === 'error' || message.type() === 'warning') faults.push(message.text());
      });
      page.on('pageerror', (error) => faults.push(error.message));
      await page.goto(host.newAddress());
      return { page, context, faults };
    },
    async stop() {
      await browser.close();
      await host.stop();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** Asks the host from within the page, with the page's own session. */
export async function askFrom<K extends RequestName>(
  page: Page,
  name: K,
  input: RequestMap[K]['input'],
): Promise<RequestMap[K]['reply']> {
  const answer = await page.evaluate(
    async ([request, body]) => {
      const response = await fetch(`/ask/${request}`, {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body,
      });
      return (await response.json()) as unknown;
    },
    [name, JSON.stringify(input)] as const,
  );
  const reply = answer as { ok: boolean; value: RequestMap[K]['reply']; error: { code: string } };
  if (!reply.ok) throw new Error(`${name} was refused: ${JSON.stringify(reply.error)}`);
  return reply.value;
}

/** Makes the demo notebook through the welcome page. */
export async function makeDemo(page: Page): Promise<void> {
  await page.getByText('Look around with a demo record').click();
  await page.getByRole('heading', { name: 'Whose record?' }).waitFor({ timeout: 60_000 });
}

export type DemoRole = 'student' | 'instructor' | 'department';

/** Signs in through the page, with the passphrase the demo shows: the first of that role, or by name. */
export async function signIn(page: Page, role: DemoRole, name?: string): Promise<void> {
  const setup = await askFrom(page, 'setup.state', {});
  const person = setup.people.find(
    (one) => one.role === role && (name === undefined || one.printedName === name),
  );
  if (person === undefined) throw new Error(`the notebook has no ${role}`);
  await page.getByRole('button', { name: person.printedName }).click();
  await page.getByRole('textbox', { name: 'Passphrase' }).fill(setup.demoPassphrase ?? '');
  await page.getByRole('button', { name: 'Open', exact: true }).click();
  await page.getByRole('navigation', { name: 'Places' }).waitFor({ timeout: 30_000 });
}

/** The record with most in it: its id, its owner, and one entry of it in each state. */
export interface RichRecord {
  readonly recordId: string;
  readonly owner: string;
  readonly entries: readonly { readonly id: string; readonly state: string; readonly versions: number }[];
}

/** Looks through the notebook as an instructor would; signs in for it in a window of its own. */
export async function richestRecord(desk: DemoDesk): Promise<RichRecord> {
  const { page, context } = await desk.open();
  await signIn(page, 'instructor');
  const { records } = await askFrom(page, 'record.list', {});
  const [card] = records.toSorted((a, b) => b.entryCount - a.entryCount);
  if (card === undefined) throw new Error('the demo has no record');
  const { lines } = await askFrom(page, 'record.open', { recordId: card.id });
  await context.close();
  const byState = new Map(lines.map((line) => [line.state, line]));
  return {
    recordId: card.id,
    owner: card.owner.printedName,
    entries: [...byState].map(([state, line]) => ({ id: line.entryId, state, versions: line.versionCount })),
  };
}

/** Goes to an address within the page and waits until its heading is there. */
export async function goTo(page: Page, hash: string): Promise<void> {
  await page.evaluate((to) => {
    location.hash = to;
  }, hash);
  await page.locator('main h1, main h2').first().waitFor({ timeout: 15_000 });
  await page.waitForLoadState('networkidle');
  await page.evaluate(() => document.fonts.ready);
}

/** True when something on the page is wider than the window. */
export const isTooWide = (page: Page): Promise<boolean> =>
  page.evaluate(() =>
    [document.documentElement, ...document.querySelectorAll('main')].some(
      (element) => element.scrollWidth > element.clientWidth + 1,
    ),
  );
