import { defineConfig } from '@playwright/test';

/** One measured run of the page; called by live-trace.ts, never by the tests. */
export default defineConfig({
  testDir: '.',
  testMatch: 'load.ts',
  workers: 1,
  retries: 0,
  reporter: 'line',
  timeout: 240_000,
});
