import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

const root = fileURLToPath(new URL('..', import.meta.url));

export default defineConfig({
  root,
  test: {
    reporters: ['default', fileURLToPath(new URL('./closing-line.ts', import.meta.url))],
    projects: [
      {
        test: {
          name: 'node',
          root,
          environment: 'node',
          include: [
            'tests/core/**/*.test.ts',
            'tests/electron/**/*.test.ts',
            'tests/migrations/**/*.test.ts',
            'tests/renderer/**/*.test.ts',
          ],
          testTimeout: 30_000,
          hookTimeout: 60_000,
        },
      },
      {
        test: {
          name: 'e2e',
          root,
          environment: 'node',
          include: ['tests/e2e/**/*.test.ts'],
          testTimeout: 180_000,
          hookTimeout: 180_000,
          fileParallelism: false,
        },
      },
    ],
  },
});
