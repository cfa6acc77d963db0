import { svelte, vitePreprocess } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vite';

export default defineConfig({
  root: import.meta.dirname,
  // Relative addresses: the same pages are served by the desktop program and by the loopback host.
  base: './',
  build: {
    outDir: '../out/renderer',
    emptyOutDir: true,
    target: 'es2024',
    // Nothing inlined: the pages run under a policy without `data:` fonts and inline scripts.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    sourcemap: false,
    // The drawing library is loaded on demand; its size is known and not a warning.
    chunkSizeWarningLimit: 4000,
  },
  plugins: [svelte({ configFile: false, preprocess: vitePreprocess() })],
});
