import { defineConfig } from '@playwright/test';

// One browser at a time, no second tries: a test that fails now and then is a fault to be found.
export default defineConfig({
  testDir: '.',
  testMatch: '**/*.spec.ts',
  outputDir: '../../test-results/end-to-end',
  workers: 1,
  fullyParallel: false,
  retries: 0,
  timeout: 60_000,
  globalTimeout: 620_000,
  forbidOnly: process.env['CI'] === 'true',
  expect: { timeout: 10_000 },
  reporter: [
    ['list'],
    ['json', { outputFile: process.env['PLAYWRIGHT_JSON_OUTPUT_FILE'] ?? '../../test-results/browser.json' }],
  ],
});
