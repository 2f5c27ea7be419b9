import { defineConfig } from '@playwright/test';
import { launchOptions } from './chromium.mjs';

export default defineConfig({
  testDir: '.',
  outputDir: '../.cache/browser',
  globalSetup: './recordings.ts',
  fullyParallel: true,
  workers: 2,
  forbidOnly: process.env['CI'] !== undefined,
  // Code out of the device stops where the machine loses sound, as it is to: a busy machine may try
  // once more, and the test is then listed as flaky.
  retries: process.env['CI'] !== undefined ? 1 : 0,
  reporter: [['line']],
  timeout: 60_000,
  expect: { timeout: 20_000 },
  use: { launchOptions, acceptDownloads: true },
});
