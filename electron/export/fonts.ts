import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { basename, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** Serif for the record's text, sans for labels and figures, rare for what both lack. */
export type Face = 'serif' | 'sans' | 'rare';
export type FontKey = `${Face}-${'normal' | 'bold' | 'italics' | 'bolditalics'}`;

const serif = '@expo-google-fonts/source-serif-4';
const sans = '@expo-google-fonts/source-sans-3';
const rare = 'dejavu-fonts-ttf/ttf';

/**
 * The font files by package path. A build that leaves the packages behind copies these files into
 * a folder `fonts` beside the built worker; from source they are read out of `node_modules`.
 */
export const fontFiles: Readonly<Record<FontKey, string>> = {
  'serif-normal': `${serif}/400Regular/SourceSerif4_400Regular.ttf`,
  'serif-bold': `${serif}/600SemiBold/SourceSerif4_600SemiBold.ttf`,
  'serif-italics': `${serif}/400Regular_Italic/SourceSerif4_400Regular_Italic.ttf`,
  'serif-bolditalics': `${serif}/600SemiBold_Italic/SourceSerif4_600SemiBold_Italic.ttf`,
  'sans-normal': `${sans}/400Regular/SourceSans3_400Regular.ttf`,
  'sans-bold': `${sans}/600SemiBold/SourceSans3_600SemiBold.ttf`,
  'sans-italics': `${sans}/400Regular_Italic/SourceSans3_400Regular_Italic.ttf`,
  'sans-bolditalics': `${sans}/600SemiBold_Italic/SourceSans3_600SemiBold_Italic.ttf`,
  'rare-normal': `${rare}/DejaVuSans.ttf`,
  'rare-bold': `${rare}/DejaVuSans-Bold.ttf`,
  'rare-italics': `${rare}/DejaVuSans-Oblique.ttf`,
  'rare-bolditalics': `${rare}/DejaVuSans-BoldOblique.ttf`,
};

/** Bytes of a font; asked for only when a document uses the face. */
export type FontSource = (key: FontKey) => Uint8Array;

const cache = new Map<FontKey, Uint8Array>();
const resolve = createRequire(import.meta.url);

/**
 * Reads a font once per process: from `fonts` beside this module when packaged, else from the packages.
 *
 * @throws Error when the file is in neither place: an incomplete installation
 */
export const installedFonts: FontSource = (key) => {
  const known = cache.get(key);
  if (known !== undefined) return known;
  const packaged = join(dirname(fileURLToPath(import.meta.url)), 'fonts', basename(fontFiles[key]));
  const bytes = readFileSync(existsSync(packaged) ? packaged : resolve.resolve(fontFiles[key]));
  cache.set(key, bytes);
  return bytes;
};
