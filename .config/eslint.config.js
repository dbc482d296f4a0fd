import js from '@eslint/js';
import svelte from 'eslint-plugin-svelte';
import globals from 'globals';
import ts from 'typescript-eslint';

// What the core may not touch: it has no DOM, no storage, no timers, no clock and no randomness of its own.
const bannedInTheCore = [
  'indexedDB',
  'navigator',
  'fetch',
  'localStorage',
  'sessionStorage',
  'setTimeout',
  'setInterval',
  'performance',
  'XMLHttpRequest',
  'WebSocket',
  'EventSource',
  'crypto',
  'self',
  'caches',
].map((name) => ({
  name,
  message: 'src/ has no browser, storage, timers, clock or randomness of its own: pass it in.',
}));

export default ts.config(
  {
    ignores: [
      'dist/**',
      'node_modules/**',
      '.cache/**',
      'test-results/**',
      'tests/fixtures/**',
      'coverage/**',
      '**/*.d.mts',
    ],
  },
  js.configs.recommended,
  ...ts.configs.strictTypeChecked,
  ...svelte.configs.recommended,
  {
    languageOptions: {
      globals: { ...globals.browser, ...globals.node },
      parserOptions: {
        projectService: true,
        tsconfigRootDir: import.meta.dirname + '/..',
        extraFileExtensions: ['.svelte'],
      },
    },
    rules: {
      '@typescript-eslint/restrict-template-expressions': [
        'error',
        { allowNumber: true, allowBoolean: true },
      ],
      '@typescript-eslint/no-confusing-void-expression': ['error', { ignoreArrowShorthand: true }],
      '@typescript-eslint/switch-exhaustiveness-check': 'error',
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/no-non-null-assertion': 'off', // noUncheckedIndexedAccess needs it in tight numeric loops
      '@typescript-eslint/no-unnecessary-condition': ['error', { allowConstantLoopConditions: true }],
    },
  },
  { files: ['**/*.svelte', '**/*.svelte.ts'], languageOptions: { parserOptions: { parser: ts.parser } } },
  {
    files: ['**/*.svelte'],
    rules: {
      '@typescript-eslint/no-unsafe-assignment': 'off',
      '@typescript-eslint/no-unsafe-argument': 'off',
      '@typescript-eslint/no-unsafe-call': 'off',
      '@typescript-eslint/no-unsafe-member-access': 'off',
      '@typescript-eslint/no-unsafe-return': 'off',
    },
  },
  {
    files: ['src/**/*.ts'],
    ignores: ['src/terminal/**'],
    rules: {
      'no-restricted-globals': ['error', ...bannedInTheCore],
      'no-restricted-properties': [
        'error',
        { object: 'Math', property: 'random', message: 'Randomness is seeded and passed in.' },
        { object: 'Date', property: 'now', message: 'Time comes in as an argument.' },
      ],
      'no-restricted-syntax': [
        'error',
        {
          selector: "NewExpression[callee.name='Date'][arguments.length=0]",
          message: 'Time comes in as an argument.',
        },
      ],
      'no-restricted-imports': ['error', { paths: ['svelte', 'uplot', 'comlink', 'idb'] }],
    },
  },
  { files: ['**/*.js', '**/*.mjs', '**/*.cjs'], ...ts.configs.disableTypeChecked },
);
