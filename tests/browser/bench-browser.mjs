// What the benchmarks share: a fresh Chromium with a worker of the page, and its memory watched.

import { chromium } from '@playwright/test';
import { execFileSync } from 'node:child_process';
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

/** Puts a file into the page, from where the worker gets it. */
export async function choose(page, path) {
  await page.evaluate(() => {
    const input = document.body.appendChild(document.createElement('input'));
    input.type = 'file';
    input.id = 'bench';
  });
  await page.locator('#bench').setInputFiles(path);
}

/** Has the page's worker do that with the file. */
export function run(page, kind) {
  return page.evaluate(
    (kind) =>
      new Promise((resolve, reject) => {
        const worker = globalThis.benchWorker;
        const [file] = document.querySelector('#bench').files;
        worker.onmessage = ({ data }) => {
          if (data.kind === 'failed') reject(new Error(data.problem.detail));
          if (data.kind === 'bytes-passed') resolve(data.cost);
          if (data.kind === 'read') {
            resolve({ ...data.cost, codes: data.reading.report.codes });
          }
        };
        worker.postMessage({ kind, job: 1, file });
      }),
    kind,
  );
}

export function middle(values) {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];
}

/** What stands before so many bytes of sound at 48 kHz: RIFF, or RF64 past 4 GiB (EBU Tech
 * 3306). */
export function waveHead(length, bits, channels = 1) {
  const long = length + 72 > 0xffffffff;
  const bytes = (bits / 8) * channels;
  const head = Buffer.alloc(long ? 80 : 44);
  let at = head.write(long ? 'RF64' : 'RIFF', 'latin1');
  at = head.writeUInt32LE(long ? 0xffffffff : 36 + length, at);
  at += head.write('WAVE', at, 'latin1');
  if (long) {
    at += head.write('ds64', at, 'latin1');
    at = head.writeUInt32LE(28, at);
    at = head.writeBigUInt64LE(BigInt(72 + length), at);
    at = head.writeBigUInt64LE(BigInt(length), at);
    at = head.writeBigUInt64LE(BigInt(length / bytes), at);
    at = head.writeUInt32LE(0, at);
  }
  at += head.write('fmt ', at, 'latin1');
  at = head.writeUInt32LE(16, at);
  for (const value of [1, channels]) at = head.writeUInt16LE(value, at);
  for (const value of [48_000, 48_000 * bytes]) at = head.writeUInt32LE(value, at);
  for (const value of [bytes, bits]) at = head.writeUInt16LE(value, at);
  at += head.write('data', at, 'latin1');
  head.writeUInt32LE(long ? 0xffffffff : length, at);
  return head;
}

/** Code from ten o'clock on at 25 frames a second, as the bytes of a WAV. */
export function makeTone(sampleRate, length) {
  const make = ['run', '--release', '--quiet', '-p', 'plumbline-tone', '--example', 'make', '--'];
  const settings = ['rate=25', 'start=10:00:00:00', 'samples=16'];
  const asked = [...settings, `sample_rate=${sampleRate}`, `length=${length}`];
  return execFileSync('cargo', [...make, ...asked], { cwd: ROOT, maxBuffer: 1 << 28 });
}

/** Frames since midnight of an address at 25 frames a second (IEC 60461 clause 4.2.3). */
export function frames25(address) {
  const [hours, minutes, seconds, frames] = address.split(':').map(Number);
  return ((hours * 60 + minutes) * 60 + seconds) * 25 + frames;
}
