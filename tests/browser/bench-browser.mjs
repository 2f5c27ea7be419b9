// What the benchmarks share: a fresh Chromium with a worker of the page, and its memory watched.

import { chromium } from '@playwright/test';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { serve } from '../../scripts/static-server.mjs';
import { launchOptions } from './chromium.mjs';

export const ROOT = join(import.meta.dirname, '..', '..');
export const MIB = 1024 * 1024;

/** The built page, served for as long as a benchmark runs. */
export class Bench {
  static async start() {
    return new Bench(await serve(join(ROOT, 'www', 'dist')));
  }

  constructor({ server, address }) {
    this.server = server;
    this.address = address;
    this.profile = mkdtempSync(join(tmpdir(), 'plumbline-profile-'));
  }

  end() {
    this.server.close();
    rmSync(this.profile, { recursive: true, force: true });
  }

  /**
   * Works in a browser of its own, whose memory is then that work's alone. The page's worker of
   * that name is there as `benchWorker`. Gives the answers, and the largest process in bytes.
   */
  async inNewBrowser(worker, work) {
    const context = await chromium.launchPersistentContext(this.profile, {
      ...launchOptions,
      headless: true,
    });
    const page = await context.newPage();
    await page.goto(this.address);
    const script = readdirSync(join(ROOT, 'www', 'dist', 'assets')).find(
      (name) => name.startsWith(`${worker}-`) && name.endsWith('.js'),
    );
    await page.evaluate((address) => {
      globalThis.benchWorker = new Worker(address, { type: 'module' });
    }, `./assets/${script}`);
    const memory = watchMemory(this.profile);
    const answers = await work(page);
    const peak = memory.stop();
    await context.close();
    return { answers, peak };
  }
}

/** The largest resident size of any process of the browser, looked at ten times a second. */
function watchMemory(profile) {
  let peak = 0;
  const timer = setInterval(() => {
    for (const id of readdirSync('/proc').filter((name) => /^\d+$/.test(name))) {
      try {
        if (!readFileSync(`/proc/${id}/cmdline`, 'utf8').includes(profile) && !isChild(id))
          continue;
        const [, resident] =
          /VmRSS:\s+(\d+) kB/.exec(readFileSync(`/proc/${id}/status`, 'utf8')) ?? [];
        peak = Math.max(peak, Number(resident ?? 0) * 1024);
      } catch {
        // It ended while we looked.
      }
    }
  }, 100);
  return {
    stop() {
      clearInterval(timer);
      return peak;
    },
  };
}

/** Renderers don't name the profile; only ours run on this machine while it measures. */
function isChild(id) {
  return (
    existsSync(`/proc/${id}`) &&
    readFileSync(`/proc/${id}/cmdline`, 'utf8').includes('--type=renderer')
  );
}

export function middle(values) {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];
}
