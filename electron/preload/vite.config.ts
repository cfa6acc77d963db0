import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

/** A sandboxed preload is one CommonJS file that requires nothing but `electron`. Built after main, whose build empties the folder. */
export default defineConfig({
  root: here('.'),
  build: {
    ssr: true,
    target: 'node24',
    outDir: here('../../out/electron'),
    emptyOutDir: false,
    minify: false,
    rollupOptions: {
      input: { preload: here('preload.ts') },
      external: ['electron'],
      output: { format: 'cjs', entryFileNames: '[name].cjs' },
    },
  },
  ssr: { noExternal: true, external: ['electron'] },
});
