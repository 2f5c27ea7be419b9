import { defineConfig } from '@playwright/test';

/** Debian's Chromium, kept from talking to anybody of its own accord. */
const CHROMIUM = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

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
  use: {
    launchOptions: {
      executablePath: process.env['CHROMIUM'] ?? '/usr/bin/chromium',
      args: CHROMIUM,
    },
    acceptDownloads: true,
  },
});
