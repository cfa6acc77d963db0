import { readFile, realpath } from 'node:fs/promises';
import { extname, join, sep } from 'node:path';

const mediaTypes: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.ico': 'image/x-icon',
  '.json': 'application/json; charset=utf-8',
  '.txt': 'text/plain; charset=utf-8',
  '.ttf': 'font/ttf',
  '.woff2': 'font/woff2',
  '.wasm': 'application/wasm',
  '.pdf': 'application/pdf',
};

export interface PageFile {
  readonly bytes: Uint8Array;
  readonly mediaType: string;
}

/**
 * A file of the built pages. Null for one that is not there, of a kind that is never served, or outside
 * the folder, by whatever spelling or link it was named.
 */
export async function readPageFile(folder: string, pathname: string): Promise<PageFile | null> {
  let path: string;
  try {
    path = decodeURIComponent(pathname);
  } catch {
    return null;
  }
  if (path.includes('\0') || path.includes('\\')) return null;
  if (path.length > 1 && path.endsWith('/')) return null;
  const parts = path.split('/').filter((part) => part !== '');
  if (parts.some((part) => part.startsWith('.'))) return null;
  if (parts.length === 0) parts.push('index.html');
  const mediaType = mediaTypes[extname(parts.at(-1) ?? '').toLowerCase()];
  if (mediaType === undefined) return null;
  try {
    const base = await realpath(folder);
    const real = await realpath(join(base, ...parts));
    if (!real.startsWith(base + sep)) return null;
    return { bytes: await readFile(real), mediaType };
  } catch {
    return null;
  }
}
