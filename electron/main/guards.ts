import type { Session, Shell, WebContents } from 'electron';
import { pageOrigin } from '../transport/ipc.ts';

/** Hosts that a link in the pages may lead to, in the system's browser. Sources of printed values, and nothing else. */
const knownHosts: ReadonlySet<string> = new Set(['doi.org', 'www.rfc-editor.org', 'goldbook.iupac.org']);

/** Only https, only to known hosts, and only what a URL parser agrees is one. */
export function mayOpenOutside(url: string): boolean {
  let parsed: URL;
  try {
    parsed = new URL(url);
  } catch {
    return false;
  }
  return (
    parsed.protocol === 'https:' &&
    knownHosts.has(parsed.hostname) &&
    parsed.username === '' &&
    parsed.password === '' &&
    parsed.port === ''
  );
}

/** The pages move by their fragment only; anything else that wants to navigate is stopped. */
export function mayNavigate(url: string): boolean {
  try {
    const { protocol, host, pathname } = new URL(url);
    return `${protocol}//${host}` === pageOrigin && (pathname === '/' || pathname === '/index.html');
  } catch {
    return false;
  }
}

/** Denies what no page of ours asks for: every permission, navigation, new window, embedded page. */
export function guardSession(session: Session): void {
  session.setPermissionRequestHandler((_contents, _permission, answer) => answer(false));
  session.setPermissionCheckHandler(() => false);
  session.setDevicePermissionHandler(() => false);
}

export function guardContents(contents: WebContents, shell: Pick<Shell, 'openExternal'>): void {
  const stop = (event: { preventDefault(): void; readonly url: string }): void => {
    if (!mayNavigate(event.url)) event.preventDefault();
  };
  contents.on('will-navigate', stop);
  contents.on('will-frame-navigate', stop);
  contents.on('will-redirect', stop);
  contents.on('will-attach-webview', (event) => event.preventDefault());
  contents.setWindowOpenHandler(({ url }) => {
    if (mayOpenOutside(url)) void shell.openExternal(url);
    return { action: 'deny' };
  });
}
