import { defineConfig } from 'vitest/config';

const root = new URL('..', import.meta.url).pathname;

export default defineConfig({
  root,
  test: {
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
          ],
          testTimeout: 20_000,
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
