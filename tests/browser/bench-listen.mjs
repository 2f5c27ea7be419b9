// Listens to two devices whose clocks are 20.8 ppm apart for ten minutes as they pass, with a file
// for a microphone, and writes how well that went into docs/speed.
//
//   node bench-listen.mjs [MINUTES]      less than ten are only shown

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from '@playwright/test';
import { Bench, frames25, makeTone, MIB } from './bench-browser.mjs';
import { launchOptions } from './chromium.mjs';
import { publish } from './measured.mjs';

const MINUTES = Number(process.argv[2] ?? 10);
/** A recorder at 48,001 samples a second whose file says 48,000. */
const PPM = 1e6 / 48_000;
/** When the parting of the two is read, in minutes. */
const READ_AT = [1, 2, 10];
/** Pictures in a second, as headless Chromium shows them. */
const PICTURES = 60;
/** Ticks in a second in which Linux counts what a process worked. */
const TICKS = 100;

const folder = mkdtempSync(join(tmpdir(), 'plumbline-listen-'));
const bench = await Bench.start();
try {
  await listen(makeCable());
} finally {
  bench.end();
  rmSync(folder, { recursive: true });
}

/** Two channels: code from ten o'clock on, and the same from a clock that runs fast. */
function makeCable() {
  const one = join(folder, 'one.wav');
  const two = join(folder, 'two.wav');
  const made = makeTone(48_000, `00:${String(MINUTES + 1).padStart(2, '0')}:00:00`);
  const fast =
    '[0]asetrate=48001,aresample=48000[fast];[1][fast]join=inputs=2:channel_layout=stereo';
  const ffmpeg = (...options) => execFileSync('ffmpeg', ['-v', 'error', '-y', ...options]);
  execFileSync('ffmpeg', ['-v', 'error', '-i', '-', one], { input: made });
  ffmpeg('-i', one, '-i', one, '-filter_complex', fast, two);
  return two;
}

async function listen(cable) {
  const context = await chromium.launchPersistentContext(bench.profile, {
    ...launchOptions,
    headless: true,
    args: [
      ...launchOptions.args,
      '--use-fake-ui-for-media-stream',
      '--use-fake-device-for-media-stream',
      `--use-file-for-fake-audio-capture=${cable}`,
    ],
  });
  const page = await context.newPage();
  await page.goto(`${bench.address}#listen`);
  await page.getByRole('button', { name: 'Listen', exact: true }).click();
  await page.locator('.heard').nth(1).waitFor();
  await page.evaluate(watchDigits);
  const pace = [];
  let before;
  let largest = [0, 0];
  for (let second = 1; second <= MINUTES * 60; second += 1) {
    await page.waitForTimeout(1000);
    if (second === 30) before = { worked: worked(), at: performance.now() };
    const size = memory();
    if (second === 60) largest = [size, size];
    if (second > 60) largest[1] = Math.max(largest[1], size);
    if (READ_AT.includes(second / 60)) pace.push([second / 60, await parting(page)]);
  }
  const share = (worked() - before.worked) / ((performance.now() - before.at) / 1000);
  const verdict = await page.getByRole('heading', { level: 1 }).textContent();
  const facts = await page.locator('.heard .facts').first().innerText();
  const shown = await page.evaluate(() => globalThis.shown);
  await context.close();
  tell({ pace, share, largest, verdict, facts, shown });
}

/** Notes every change of the first channel's digits, at the moment of the page's clock. */
function watchDigits() {
  globalThis.shown = [];
  const digits = document.querySelector('.heard .digits');
  const note = () => globalThis.shown.push([digits.textContent, performance.now()]);
  new MutationObserver(note).observe(digits, {
    childList: true,
    characterData: true,
    subtree: true,
  });
}

/** How far off the page's word is on how the second channel parts from the first, and how far it is
 * apart from it by now: both began together. */
async function parting(page) {
  const { address, offset, pace } = await page.evaluate(() => {
    const compared = [...document.querySelectorAll('.compared')].find((each) =>
      each.textContent.startsWith('Against channel 1'),
    );
    const [offset, pace] = [...compared.querySelectorAll('.facts dd')].map(
      ({ textContent }) => textContent,
    );
    return { address: document.querySelector('.heard .digits').textContent, offset, pace };
  });
  const [ppm, one] = pace.match(/[\d.]+/g).map(Number);
  const passed = (frames25(address) - frames25('10:00:00:00')) / 25;
  const apart = Number.parseFloat(offset) - passed * PPM * 1e-3;
  return { ppm: ppm - PPM, one, apart };
}

function tell({ pace, share, largest, verdict, facts, shown }) {
  const frames = shown.map(([address]) => frames25(address));
  const steps = frames.slice(1).map((frame, index) => frame - frames[index]);
  assert(
    steps.every((step) => step > 0),
    'the digits went back',
  );
  assert.match(verdict, /nothing lost/);
  const off = furthest(
    frames,
    shown.map(([, at]) => at),
  );
  const rows = [
    ...pace.flatMap(([minutes, { ppm, one, apart }]) => [
      [`parting after ${minutes} min, ppm off the truth`, `${ppm.toFixed(2)} (says ± ${one})`],
      [`apart after ${minutes} min, ms off the truth`, apart.toFixed(2)],
    ]),
    ['digits shown, of the frames that passed', `${frames.length} of ${span(frames)}`],
    ['digits change at most so far from an even clock, frames', off.toFixed(2)],
    ['of which the pictures of the screen account for', (25 / PICTURES / 2).toFixed(2)],
    ['all processes of the browser work, of one core', `${(share * 100).toFixed(0)} %`],
    ['all their memory after a minute, MiB', (largest[0] / MIB).toFixed(0)],
    ['and at most since, MiB', (largest[1] / MIB).toFixed(0)],
  ];
  console.log(`${verdict}\n${facts}`);
  for (const row of rows) console.log(row.join(': '));
  if (MINUTES >= 10) publish('listening', [`two channels, ${MINUTES} min`, 'measured'], rows);
}

function span(frames) {
  return frames.at(-1) - frames[0] + 1;
}

/** The furthest that changes of the digits are from a straight line through all of them, in frames. */
function furthest(frames, times) {
  const mean = (values) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const [frame, time] = [mean(frames), mean(times)];
  const apart = times.map((at, index) => [at - time, frames[index] - frame]);
  const slope =
    apart.reduce((sum, [x, y]) => sum + x * y, 0) / apart.reduce((sum, [x]) => sum + x * x, 0);
  const off = apart.map(([x, y]) => y - slope * x).sort((a, b) => a - b);
  return (off.at(-1) - off[0]) / 2;
}

/** The processes of this browser, and those that it begot. */
function processes() {
  const all = readdirSync('/proc').filter((name) => /^\d+$/.test(name));
  const read = (id, name) => {
    try {
      return readFileSync(`/proc/${id}/${name}`, 'utf8');
    } catch {
      return ''; // It ended while we looked.
    }
  };
  const stats = new Map(all.map((id) => [id, read(id, 'stat').split(') ').at(-1).split(' ')]));
  const ours = new Set(all.filter((id) => read(id, 'cmdline').includes(bench.profile)));
  for (let more = -1; more !== ours.size;) {
    more = ours.size;
    for (const [id, [, parent]] of stats) if (ours.has(parent)) ours.add(id);
  }
  return [...ours].map((id) => ({ stat: stats.get(id) ?? [], status: read(id, 'status') }));
}

/** Seconds that they have worked. */
function worked() {
  const ticks = processes().map(({ stat }) => Number(stat[11] ?? 0) + Number(stat[12] ?? 0));
  return ticks.reduce((sum, each) => sum + each, 0) / TICKS;
}

/** Bytes that they have in memory. */
function memory() {
  const sizes = processes().map(({ status }) => {
    const [, resident] = /VmRSS:\s+(\d+) kB/.exec(status) ?? [];
    return Number(resident ?? 0) * 1024;
  });
  return sizes.reduce((sum, each) => sum + each, 0);
}
