import js from '@eslint/js';
import globals from 'globals';
import svelte from 'eslint-plugin-svelte';
import ts from 'typescript-eslint';

/** Which folder may import from which: dependencies point inward only. */
const layer = (files, groups, message) => ({
  files,
  rules: { 'no-restricted-imports': ['error', { patterns: [{ group: groups, message }] }] },
});
const packages = ['*', '!./**', '!../**', '!.', '!..'];

export default ts.config(
  { ignores: ['out/**', 'node_modules/**', 'coverage/**'] },
  js.configs.recommended,
  ...ts.configs.recommendedTypeChecked,
  ...svelte.configs.recommended,
  {
    languageOptions: {
      globals: { ...globals.node, ...globals.browser },
      parserOptions: { projectService: true, extraFileExtensions: ['.svelte'] },
    },
    rules: {
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_' }],
      '@typescript-eslint/switch-exhaustiveness-check': 'error',
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
      'no-console': 'error',
    },
  },
  { files: ['**/*.svelte', '**/*.svelte.ts'], languageOptions: { parserOptions: { parser: ts.parser } } },
  {
    // Here a component imported into another is `any`: svelte-check holds these types instead.
    files: ['**/*.svelte'],
    rules: {
      '@typescript-eslint/no-unsafe-assignment': 'off',
      '@typescript-eslint/no-unsafe-member-access': 'off',
      '@typescript-eslint/no-unsafe-argument': 'off',
      '@typescript-eslint/no-unsafe-call': 'off',
      '@typescript-eslint/no-unsafe-return': 'off',
    },
  },
  { files: ['*.js'], ...ts.configs.disableTypeChecked },
  layer(
    ['core/**/*.ts'],
    [...packages, '**/electron/**', '**/renderer/**', '**/migrations/**'],
    'core imports only core',
  ),
  layer(
    ['core/contract/**/*.ts'],
    [...packages, '!valibot', '**/electron/**', '**/renderer/**'],
    'the contract imports core and valibot',
  ),
  layer(
    ['renderer/**/*.{ts,svelte}'],
    ['node:*', 'electron', '**/electron/**', '**/migrations/**', 'kysely'],
    'screens reach the outside through the client',
  ),
  layer(
    ['migrations/**/*.ts'],
    ['**/core/**', '**/electron/**', '**/renderer/**'],
    'a migration is frozen: it imports nothing of ours',
  ),
  { files: ['electron/cli/**', 'electron/host/**', 'tests/**'], rules: { 'no-console': 'off' } },
  {
    files: ['tests/**'],
    rules: {
      '@typescript-eslint/no-non-null-assertion': 'off',
      '@typescript-eslint/no-unsafe-assignment': 'off',
      '@typescript-eslint/no-unsafe-member-access': 'off',
      '@typescript-eslint/no-unsafe-argument': 'off',
      '@typescript-eslint/no-unsafe-call': 'off',
    },
  },
);
