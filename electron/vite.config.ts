import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { basename } from 'node:path';
import { fileURLToPath } from 'node:url';
import { defineConfig, type Plugin } from 'vite';
import { fontFiles } from './export/fonts.ts';

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

/** The fonts of the PDF lie beside the built worker, so that the packages need not be there. */
const fontsBeside: Plugin = {
  name: 'fonts-beside',
  generateBundle() {
    const { resolve } = createRequire(import.meta.url);
    for (const file of Object.values(fontFiles)) {
      this.emitFile({
        type: 'asset',
        fileName: `fonts/${basename(file)}`,
        source: readFileSync(resolve(file)),
      });
    }
  },
};

/** Main process, loopback host and both threads: everything on the Node side but the preload. */
export default defineConfig({
  root: here('.'),
  plugins: [fontsBeside],
  build: {
    ssr: true,
    target: 'node24',
    outDir: here('../out/electron'),
    emptyOutDir: true,
    minify: false,
    sourcemap: false,
    rollupOptions: {
      input: {
        main: here('main/main.ts'),
        host: here('host/main.ts'),
        'database-worker': here('storage/database-worker.ts'),
        'job-worker': here('worker/job-worker.ts'),
        'share-worker': here('check/share-worker.ts'),
      },
      // Native, loaded at run time, or taken apart with `require` by what uses it.
      external: ['electron', 'better-sqlite3', /^pdfmake/],
      output: { format: 'es', entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
    },
  },
  ssr: { noExternal: true, external: ['electron', 'better-sqlite3', 'pdfmake'] },
});
