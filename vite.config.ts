import { svelte } from '@sveltejs/vite-plugin-svelte';
import { svelteTesting } from '@testing-library/svelte/vite';
import { defineConfig } from 'vitest/config';
import { RESPONSE_HEADERS } from './.config/headers.mjs';
import { thirdPartyNotices } from './.config/third-party-notices.mjs';
import packageJson from './package.json' with { type: 'json' };

const notices = thirdPartyNotices();

// The page and its worker are built from web/; everything in src/ is framework-free and reaches the browser through them.
export default defineConfig({
  root: 'web',
  base: './',
  publicDir: 'public',
  define: { __APP_VERSION__: JSON.stringify(packageJson.version) },
  plugins: [svelte(), svelteTesting(), notices.page],
  build: { outDir: '../dist', emptyOutDir: true, target: 'es2022', sourcemap: false },
  worker: { format: 'es', plugins: () => [notices.worker] },
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
