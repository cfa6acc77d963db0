import { fileURLToPath } from 'node:url';
import { svelte, vitePreprocess } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vite';

/** The spread and the bench alone, on an in-memory notebook: for looking, not for the program. */
export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  base: './',
  build: { outDir: fileURLToPath(new URL('../../../out/stage-spread', import.meta.url)), emptyOutDir: true },
  server: { host: '127.0.0.1', fs: { allow: [fileURLToPath(new URL('../../..', import.meta.url))] } },
  plugins: [svelte({ configFile: false, preprocess: vitePreprocess() })],
});
