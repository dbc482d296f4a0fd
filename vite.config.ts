import { svelte } from '@sveltejs/vite-plugin-svelte';
import { svelteTesting } from '@testing-library/svelte/vite';
import { defineConfig } from 'vitest/config';
import packageJson from './package.json' with { type: 'json' };

// The page and its worker are built from web/; everything in src/ is framework-free and reaches the browser through them.
export default defineConfig({
  root: 'web',
  base: './',
  publicDir: 'public',
  define: { __APP_VERSION__: JSON.stringify(packageJson.version) },
  plugins: [svelte(), svelteTesting()],
  build: { outDir: '../dist', emptyOutDir: true, target: 'es2022', sourcemap: false },
  worker: { format: 'es' },
  preview: { host: '127.0.0.1', port: 4173, strictPort: true },
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
