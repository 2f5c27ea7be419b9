// Drops recordings on the page in headless Chromium: how soon the first answer is there for a
// file of any length, how long two hundred recordings take, and whether the drawing of a day
// follows the hand. Prints a line for each; every figure is asserted to stand for a right answer.
//
//   node bench-drop.mjs

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Bench, middle, MIB, ROOT, waveHead } from './bench-browser.mjs';
import { publish } from './measured.mjs';

const folder = mkdtempSync(join(tmpdir(), 'plumbline-drop-'));
const bench = await Bench.start();
try {
  const rows = [];
  for (const gigabytes of [1, 10, 100]) rows.push(await firstAnswer(gigabytes));
  publish('first answer', ['recording', 'ms', 'each, ms', 'largest process, MiB'], rows);
  await twoHundred();
} finally {
  bench.end();
  rmSync(folder, { recursive: true });
}

/** A timecode tone with these settings. */
function tone(...settings) {
  const options = [
    'run',
    '--release',
    '--quiet',
    '-p',
    'plumbline-tone',
    '--example',
    'make',
    '--',
  ];
  const always = ['rate=25', 'sample_rate=48000', 'samples=16'];
  return execFileSync('cargo', [...options, ...always, ...settings], {
    cwd: ROOT,
    maxBuffer: 1 << 28,
  });
}

/** A minute of code and then nothing, for so many gigabytes, in a file with a hole. */
function sparse(gigabytes) {
  const made = tone('start=14:03:20:06', 'length=00:01:00:00');
  const data = made.indexOf('data', 12, 'latin1') + 8;
  const length = gigabytes * 1e9;
  const head = waveHead(length, 16);
  const path = join(folder, `${gigabytes}-gigabytes.wav`);
  writeFileSync(path, Buffer.concat([head, made.subarray(data)]));
  truncateSync(path, head.length + length);
  return path;
}

async function firstAnswer(gigabytes) {
  const path = sparse(gigabytes);
  const { answers, peak } = await bench.inNewBrowser('worker', async (page) => {
    const times = [];
    for (let round = 0; round < 5; round += 1) {
      // The reader is loaded before anything is there to read.
      await page.waitForTimeout(1500);
      const answered = watch(page, '.addresses dd');
      await choose(page, 'Choose recordings', path);
      const { milliseconds, text } = await answered;
      assert.equal(text, '14:03:20:06');
      times.push(milliseconds);
      // Read on for a while, so that memory has time to grow, were it to.
      if (round === 0) await page.waitForTimeout(8000);
      await page.getByRole('button', { name: 'Stop', exact: true }).click();
      await page.getByRole('button', { name: 'Take it off the page' }).click();
    }
    return times;
  });
  console.log(
    `first answer, ${gigabytes} GB: ${middle(answers).toFixed(0)} ms (middle of ${answers.length}: ` +
      `${answers.map((time) => time.toFixed(0)).join(', ')}); largest process ${(peak / MIB).toFixed(0)} MiB`,
  );
  const each = answers.map((time) => time.toFixed(0)).join(', ');
  return [`${gigabytes} GB`, middle(answers).toFixed(0), each, (peak / MIB).toFixed(0)];
}

async function twoHundred() {
  const day = join(folder, 'day');
  const devices = ['sound bag', 'deck camera', 'bridge camera', 'mast camera'];
  for (const [index, device] of devices.entries()) {
    mkdirSync(join(day, device), { recursive: true });
    for (let take = 0; take < 50; take += 1) {
      const minute = 7 * 60 + take * 16 + index * 3;
      const start = `${pad(Math.floor(minute / 60))}:${pad(minute % 60)}:00:00`;
      writeFileSync(
        join(day, device, `take_${pad(take + 1)}.wav`),
        tone(`start=${start}`, 'length=00:00:08:00'),
      );
    }
  }
  const { answers } = await bench.inNewBrowser('worker', async (page) => {
    await page.evaluate(() => {
      globalThis.longest = 0;
      new PerformanceObserver((list) => {
        for (const { duration } of list.getEntries()) {
          globalThis.longest = Math.max(globalThis.longest, duration);
        }
      }).observe({ type: 'longtask' });
    });
    const answered = watch(page, '.hand-over');
    await choose(page, 'Choose a folder', day);
    const { milliseconds } = await answered;
    assert.match(await page.locator('h1').innerText(), /^All 200 recordings share one clock/);
    const longest = await page.evaluate(() => globalThis.longest);
    return { milliseconds, longest, frames: await frames(page) };
  });
  const { milliseconds, longest, frames: apart } = answers;
  console.log(
    `200 recordings, 26 min of sound: ${(milliseconds / 1000).toFixed(1)} s; longest task of the page ${longest.toFixed(0)} ms`,
  );
  console.log(
    `200 recordings, zoomed and moved 240 times: ${middle(apart).toFixed(1)} ms between frames, ` +
      `the slowest twentieth ${apart.toSorted((a, b) => a - b)[Math.floor(apart.length * 0.95)].toFixed(1)} ms`,
  );
}

/** Milliseconds between the frames that are shown while the day is zoomed and moved in each. */
async function frames(page) {
  await page.locator('.rolling-hand').focus();
  return page.evaluate(async () => {
    const hand = document.querySelector('.rolling-hand');
    const press = (key) => hand.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true }));
    const next = () => new Promise((resolve) => requestAnimationFrame(resolve));
    const keys = [
      '+',
      '+',
      '+',
      '+',
      ...Array(20).fill('PageUp'),
      ...Array(20).fill('PageDown'),
      '-',
      '-',
      '-',
      '-',
    ];
    const apart = [];
    let before = await next();
    for (let turn = 0; turn < 240; turn += 1) {
      press(keys[turn % keys.length]);
      const now = await next();
      apart.push(now - before);
      before = now;
    }
    return apart;
  });
}

/** When an element first has a text, from the moment that files are handed to the page. */
function watch(page, selector) {
  return page.evaluate(
    (selector) =>
      new Promise((resolve) => {
        let since;
        addEventListener('change', () => (since = performance.now()), {
          capture: true,
          once: true,
        });
        const look = () => {
          const text = document.querySelector(selector)?.textContent ?? '';
          if (since === undefined || text === '') requestAnimationFrame(look);
          else resolve({ milliseconds: performance.now() - since, text });
        };
        look();
      }),
    selector,
  );
}

async function choose(page, button, path) {
  const chooser = page.waitForEvent('filechooser');
  await page.getByRole('button', { name: button, exact: true }).click();
  await (await chooser).setFiles(path);
}

function pad(number) {
  return String(number).padStart(2, '0');
}
