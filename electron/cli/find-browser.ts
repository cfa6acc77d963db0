import { accessSync, constants } from 'node:fs';
import { delimiter, join } from 'node:path';

/** Browsers that can show one page in a window of its own, by their usual names. */
const onPath = [
  'chromium',
  'chromium-browser',
  'google-chrome',
  'google-chrome-stable',
  'microsoft-edge',
  'microsoft-edge-stable',
];

function candidates(platform: NodeJS.Platform, env: NodeJS.ProcessEnv): readonly string[] {
  if (platform === 'darwin') {
    return ['Google Chrome', 'Chromium', 'Microsoft Edge'].map(
      (name) => `/Applications/${name}.app/Contents/MacOS/${name}`,
    );
  }
  if (platform === 'win32') {
    const roots = [env['ProgramFiles'], env['ProgramFiles(x86)'], env['LOCALAPPDATA']];
    return roots.flatMap((root) =>
      root === undefined
        ? []
        : [
            join(root, 'Google', 'Chrome', 'Application', 'chrome.exe'),
            join(root, 'Microsoft', 'Edge', 'Application', 'msedge.exe'),
            join(root, 'Chromium', 'Application', 'chrome.exe'),
          ],
    );
  }
  const folders = (env['PATH'] ?? '').split(delimiter).filter((folder) => folder !== '');
  return onPath.flatMap((name) => folders.map((folder) => join(folder, name)));
}

/** A browser for a window of our own, or null. */
export function findBrowser(
  platform: NodeJS.Platform = process.platform,
  env: NodeJS.ProcessEnv = process.env,
): string | null {
  for (const path of candidates(platform, env)) {
    try {
      accessSync(path, constants.X_OK);
      return path;
    } catch {
      // Not this one.
    }
  }
  return null;
}

/** Can anything be shown here at all? On Linux that takes a display. */
export const hasDisplay = (
  platform: NodeJS.Platform = process.platform,
  env: NodeJS.ProcessEnv = process.env,
): boolean => platform !== 'linux' || (env['DISPLAY'] ?? '') !== '' || (env['WAYLAND_DISPLAY'] ?? '') !== '';

/**
 * Arguments for a window that shows one address and nothing of the browser around it.
 *
 * @param profile folder of its own, so that the window is not a tab of a running browser and its
 *   closing is noticed
 */
export function windowArguments(address: string, profile: string, isRoot: boolean): readonly string[] {
  return [
    `--app=${address}`,
    `--user-data-dir=${profile}`,
    '--no-first-run',
    '--no-default-browser-check',
    '--disable-sync',
    '--window-size=1440,900',
    // A browser refuses its sandbox to root; nobody should work as root, but a container may.
    ...(isRoot ? ['--no-sandbox', '--test-type'] : []),
  ];
}

/** The command that opens an address in the person's default browser. */
export function defaultBrowser(
  address: string,
  platform: NodeJS.Platform = process.platform,
): readonly [string, readonly string[]] {
  if (platform === 'darwin') return ['open', [address]];
  if (platform === 'win32') return ['rundll32', ['url.dll,FileProtocolHandler', address]];
  return ['xdg-open', [address]];
}
