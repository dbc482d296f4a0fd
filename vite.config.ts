import { fileURLToPath } from 'node:url';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { svelteTesting } from '@testing-library/svelte/vite';
import { defineConfig } from 'vitest/config';
import { RESPONSE_HEADERS } from './.config/headers.mjs';
import { thirdPartyNotices } from './.config/third-party-notices.mjs';
import packageJson from './package.json' with { type: 'json' };

const notices = thirdPartyNotices();
// The licences' words are in third-party-notices.txt; repeated in every module they were a third of the worker.
const noComments = { comments: { legal: false, annotation: false, jsdoc: false } };

// The page and its worker are built from web/; everything in src/ is framework-free and reaches the browser through them.
// @stdlib brings portable copies of what every browser has; tests run with the same replacements (deps.inline).
const nativeMath = Object.fromEntries(
  ['pow', 'ln', 'exp', 'sin', 'cos', 'asin', 'log1p', 'expm1', 'sqrt'].map((name) => [
    `@stdlib/math-base-special-${name}`,
    fileURLToPath(new URL(`.config/native-math/${name}.cjs`, import.meta.url)),
  ]),
);

export default defineConfig({
  root: 'web',
  base: './',
  publicDir: 'public',
  resolve: {
    alias: {
      debug: fileURLToPath(new URL('.config/no-debug.cjs', import.meta.url)),
      '@stdlib/string-format': fileURLToPath(new URL('.config/brief-format.cjs', import.meta.url)),
      ...nativeMath,
    },
  },
  define: { __APP_VERSION__: JSON.stringify(packageJson.version) },
  plugins: [svelte({ configFile: false }), svelteTesting(), notices.page],
  build: {
    outDir: '../dist',
    emptyOutDir: true,
    target: 'es2022',
    sourcemap: false,
    rolldownOptions: { output: noComments, checks: { bundlerTimings: false } },
  },
  worker: { format: 'es', plugins: () => [notices.worker], rolldownOptions: { output: noComments } },
  preview: { host: '127.0.0.1', port: 4173, strictPort: true, headers: { ...RESPONSE_HEADERS } },
  test: {
    root: '.',
    projects: [
      {
        extends: true,
        test: {
          name: 'core',
          environment: 'node',
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/web/page/**', 'tests/end-to-end/**', 'tests/benchmarks/**'],
        },
      },
      {
        extends: true,
        test: { name: 'page', environment: 'happy-dom', include: ['tests/web/page/**/*.test.ts'] },
      },
    ],
  },
});
