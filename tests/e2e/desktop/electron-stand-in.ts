import { EventEmitter } from 'node:events';
import { readFileSync } from 'node:fs';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { runInNewContext } from 'node:vm';
import { chromium, type BrowserContext, type Frame, type Page } from 'playwright-core';

/**
 * Stands in for `electron` where its program is not: the built main process and preload run as they
 * are, and a real Chromium shows the pages. Small and loud: anything unsafe, unknown or done twice
 * throws. It proves our wiring; Electron's own sandbox, isolation, scheme, menus and dialogs it cannot.
 */

/** Chromium is not told of our scheme; this name is never looked up, since every request is answered here. */
const webOrigin = 'https://fairleaf.invalid';
const toWeb = (url: string): string => url.replace(/^app:\/\/fairleaf/, webOrigin);
const toApp = (url: string): string =>
  url.startsWith(webOrigin) ? `app://fairleaf${url.slice(webOrigin.length)}` : url;

const debugPort = Number(process.env['STAND_IN_PORT']);
const profile = mkdtempSync(join(tmpdir(), 'fairleaf-stand-in-'));
const tell = (line: object): void => void process.stdout.write(`${JSON.stringify(line)}\n`);
function loud(condition: boolean, message: string): asserts condition {
  if (condition) return;
  process.stderr.write(`stand-in: ${message}\n`);
  process.exit(70);
}

let isReady = false;
let schemes: readonly { scheme: string; privileges: object }[] = [];
let serve: ((request: Request) => Promise<Response> | Response) | null = null;
const handlers = new Map<string, (event: unknown, ...args: unknown[]) => unknown>();
let browser: BrowserContext | null = null;

class App extends EventEmitter {
  #isLeaving = false;
  requestSingleInstanceLock(): boolean {
    return true;
  }
  async whenReady(): Promise<void> {
    browser = await chromium.launchPersistentContext(profile, {
      executablePath: process.env['CHROMIUM'] ?? '/usr/bin/chromium',
      args: ['--no-sandbox', `--remote-debugging-port=${debugPort}`],
      viewport: { width: 1440, height: 900 },
      locale: 'en-GB',
    });
    isReady = true;
  }
  quit(): void {
    let isPrevented = false;
    this.emit('before-quit', { preventDefault: () => (isPrevented = true) });
    if (isPrevented || this.#isLeaving) return;
    this.#isLeaving = true;
    void browser?.close().finally(() => {
      rmSync(profile, { recursive: true, force: true });
      tell({ told: 'quit' });
      process.exit(0);
    });
  }
  exit(code: number): never {
    process.exit(code);
  }
}
export const app = new App();

export const protocol = {
  registerSchemesAsPrivileged(list: typeof schemes): void {
    loud(!isReady, 'schemes must be registered before the program is ready');
    schemes = list;
  },
  handle(scheme: string, handler: NonNullable<typeof serve>): void {
    loud(serve === null, 'a second handler for the scheme');
    loud(
      schemes.some((one) => one.scheme === scheme),
      `the scheme ${scheme} was not registered`,
    );
    serve = handler;
  },
};

export const ipcMain = {
  handle(channel: string, handler: (event: unknown, ...args: unknown[]) => unknown): void {
    loud(!handlers.has(channel), `a second handler for ${channel}`);
    handlers.set(channel, handler);
  },
};

export const session = {
  defaultSession: {
    setPermissionRequestHandler: (handler: (...args: unknown[]) => void): void =>
      handler(null, 'geolocation', (allowed: boolean) => tell({ told: 'permission', allowed })),
    setPermissionCheckHandler: (handler: () => boolean): void =>
      tell({ told: 'permission-check', allowed: handler() }),
    setDevicePermissionHandler: (handler: () => boolean): void =>
      tell({ told: 'device', allowed: handler() }),
  },
};

export const shell = {
  openExternal(url: string): Promise<void> {
    tell({ told: 'opened-outside', url });
    return Promise.resolve();
  },
};

export const Menu = {
  buildFromTemplate: (template: readonly { role?: string; label?: string }[]): object => template,
  setApplicationMenu: (menu: unknown): void =>
    loud(menu !== null, 'without a menu there is no copying on a Mac'),
};

export const powerMonitor = new EventEmitter();

class WebContents extends EventEmitter {
  readonly mainFrame = { url: '' };
  openHandler: ((details: { url: string }) => { action: string }) | null = null;
  setWindowOpenHandler(handler: NonNullable<WebContents['openHandler']>): void {
    this.openHandler = handler;
  }
}

interface Preferences {
  readonly [name: string]: unknown;
  readonly preload: string;
}
const demanded: Readonly<Record<string, unknown>> = {
  nodeIntegration: false,
  nodeIntegrationInWorker: false,
  nodeIntegrationInSubFrames: false,
  contextIsolation: true,
  sandbox: true,
  webSecurity: true,
  allowRunningInsecureContent: false,
  experimentalFeatures: false,
  webviewTag: false,
};

export class BrowserWindow extends EventEmitter {
  static readonly #all: BrowserWindow[] = [];
  static getAllWindows(): readonly BrowserWindow[] {
    return BrowserWindow.#all;
  }
  readonly webContents = new WebContents();
  readonly #preload: string;

  constructor(options: { readonly webPreferences: Preferences }) {
    super();
    for (const [name, value] of Object.entries(demanded)) {
      loud(
        options.webPreferences[name] === value,
        `unsafe window: ${name} is ${String(options.webPreferences[name])}`,
      );
    }
    this.#preload = options.webPreferences.preload;
    BrowserWindow.#all.push(this);
    app.emit('web-contents-created', {}, this.webContents);
  }
  show(): void {
    tell({ told: 'shown' });
  }
  focus(): void {}
  restore(): void {}
  isMinimized(): boolean {
    return false;
  }

  async loadURL(url: string): Promise<void> {
    loud(browser !== null, 'a page was loaded before the program was ready');
    const page = browser.pages()[0] ?? (await browser.newPage());
    await page.route('**/*', (route) => this.#answer(page, route));
    page.on('popup', (popup) => {
      this.webContents.openHandler?.({ url: popup.url() });
      void popup.close();
    });
    await this.#wireWindowOpen(page);
    await runPreload(page, this.#preload, this.webContents);
    page.on('close', () => app.emit('window-all-closed'));
    await page.goto(toWeb(url));
    this.webContents.mainFrame.url = toApp(page.url());
    this.emit('ready-to-show');
  }

  /** Our scheme's requests go to its handler; a page that wants to leave is held against the guards. */
  async #answer(page: Page, route: Parameters<Parameters<Page['route']>[1]>[0]): Promise<void> {
    const asked = route.request();
    const url = asked.url();
    if (asked.isNavigationRequest() && !url.startsWith(`${webOrigin}/`)) {
      let isPrevented = false;
      const isMain = asked.frame() === page.mainFrame();
      this.webContents.emit(isMain ? 'will-navigate' : 'will-frame-navigate', {
        url,
        preventDefault: () => (isPrevented = true),
      });
      tell({ told: 'navigation', url, isPrevented });
      return route.abort('aborted');
    }
    if (!url.startsWith(`${webOrigin}/`)) {
      tell({ told: 'outside-request', url });
      return route.abort('aborted');
    }
    loud(serve !== null, 'nothing serves the scheme');
    const response = await serve(
      new Request(toApp(url), { method: asked.method(), body: asked.postData() ?? null }),
    );
    await route.fulfill({
      status: response.status,
      headers: Object.fromEntries(response.headers),
      body: Buffer.from(await response.arrayBuffer()),
    });
  }

  async #wireWindowOpen(page: Page): Promise<void> {
    await page.exposeBinding('__standInOpen', (_source, url: string) => {
      const { action } = this.webContents.openHandler?.({ url: toApp(url) }) ?? { action: 'allow' };
      tell({ told: 'window-open', url, action });
    });
    await page.addInitScript(() => {
      window.open = (url) => {
        void (window as never as { __standInOpen(url: string): void }).__standInOpen(
          new URL(url ?? '', location.href).href,
        );
        return null;
      };
    });
  }
}

/** Runs the built preload with nothing in reach but Electron's two objects, and puts what it exposes on the page. */
async function runPreload(page: Page, file: string, contents: WebContents): Promise<void> {
  const exposed: { name: string; api: Readonly<Record<string, unknown>> }[] = [];
  let sender: Frame | null = null;
  const electron = {
    contextBridge: {
      exposeInMainWorld: (name: string, api: Readonly<Record<string, unknown>>) =>
        exposed.push({ name, api }),
    },
    ipcRenderer: {
      invoke: (channel: string, ...args: unknown[]) => {
        const handler = handlers.get(channel);
        loud(handler !== undefined, `nothing handles ${channel}`);
        const isMain = sender === page.mainFrame();
        const senderFrame = isMain ? contents.mainFrame : { url: toApp(sender?.url() ?? '') };
        contents.mainFrame.url = toApp(page.url());
        return handler({ sender: contents, senderFrame }, ...structuredClone(args));
      },
    },
  };
  runInNewContext(readFileSync(file, 'utf8'), {
    require: (name: string) => {
      loud(name === 'electron', `a sandboxed preload cannot require ${name}`);
      return electron;
    },
  });
  tell({ told: 'exposed', names: exposed.map(({ name, api }) => `${name}: ${Object.keys(api).join(', ')}`) });
  for (const { name, api } of exposed) {
    for (const [key, value] of Object.entries(api)) {
      loud(typeof value === 'function', `${name}.${key} is no function`);
      const binding = `__standIn_${name}_${key}`;
      await page.exposeBinding(binding, (source, ...args: unknown[]) => {
        sender = source.frame;
        return (value as (...given: unknown[]) => unknown)(...args) as Promise<unknown>;
      });
      await page.addInitScript(
        ([object, member, bound]) => {
          const all = window as never as Record<string, unknown>;
          const own = (all[object] ??= {}) as Record<string, unknown>;
          own[member] = (...args: unknown[]) => (all[bound] as (...given: unknown[]) => unknown)(...args);
        },
        [name, key, binding] as const,
      );
    }
  }
}

process.stdin.on('data', (line) => {
  if (line.toString().trim() === 'quit') app.quit();
  if (line.toString().trim() === 'lock-screen') powerMonitor.emit('lock-screen');
});
