import { defineConfig } from '@playwright/test';
import { launchOptions } from './chromium.mjs';

export default defineConfig({
  testDir: '.',
  outputDir: '../.cache/browser',
  globalSetup: './recordings.ts',
  fullyParallel: true,
  workers: 2,
  forbidOnly: process.env['CI'] !== undefined,
  reporter: [['line']],
  timeout: 60_000,
  expect: { timeout: 20_000 },
  use: { launchOptions, acceptDownloads: true },
});
