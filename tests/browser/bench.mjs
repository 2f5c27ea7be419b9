// Reads long recordings through the page in headless Chromium, beside the same bytes on the same
// way without being read. Prints a line for each file.
//
//   node bench.mjs [FILE…]      without files, recordings of 60 minutes, 0.5 GB and 5 GB are made

import { execFileSync } from 'node:child_process';
import {
  closeSync,
  mkdtempSync,
  openSync,
  readFileSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { Bench, MIB, middle, ROOT, waveHead } from './bench-browser.mjs';

const SECONDS = { 'one-hour.wav': 3600, 'half-a-gigabyte.wav': 3472, 'five-gigabytes.wav': 34_722 };

const folder = mkdtempSync(join(tmpdir(), 'plumbline-bench-'));
const bench = await Bench.start();
try {
  const files = process.argv.slice(2);
  for (const file of files) await measure(file);
  if (files.length === 0)
    for (const [name, seconds] of Object.entries(SECONDS)) await measure(make(name, seconds));
} finally {
  bench.end();
  rmSync(folder, { recursive: true });
}

/** Mono 48 kHz 24-bit, the code of the demo recording over and over: RF64 past 4 GiB. */
function make(name, seconds) {
  const made = execFileSync(
    'cargo',
    ['run', '--release', '--quiet', '-p', 'plumbline-page', '--example', 'demo', '--', folder],
    { cwd: ROOT, encoding: 'utf8' },
  ).trim();
  const demo = readFileSync(made);
  const minute = monoOf(demo);
  const path = join(folder, name);
  const file = openSync(path, 'w');
  const length = seconds * 48_000 * 3;
  writeSync(file, waveHead(length, 24));
  for (let written = 0; written < length;) {
    written += writeSync(file, minute, 0, Math.min(minute.length, length - written));
  }
  closeSync(file);
  return path;
}

/** The code channel of the demo, 16-bit stereo, as 24-bit mono. */
function monoOf(demo) {
  const data = demo.indexOf('data', 12, 'latin1');
  const begin = data + 8;
  const frames = Math.floor(demo.readUInt32LE(data + 4) / 4);
  const mono = Buffer.alloc(frames * 3);
  for (let frame = 0; frame < frames; frame += 1) {
    mono.writeIntLE(demo.readInt16LE(begin + frame * 4 + 2) * 256, frame * 3, 3);
  }
  return mono;
}

async function measure(path) {
  const size = statSync(path).size;
  const rounds = size < 1e9 ? 9 : 3;
  const alone = await bench.inNewBrowser('worker', async (page) => {
    await choose(page, path);
    return run(page, 'bytes-only');
  });
  const { answers, peak } = await bench.inNewBrowser('worker', async (page) => {
    await choose(page, path);
    // Once for the file's way into the system's memory, then in turn; the middle one counts.
    await run(page, 'bytes-only');
    const answers = [];
    for (let round = 0; round < rounds; round += 1) {
      answers.push({ bytes: await run(page, 'bytes-only'), read: await run(page, 'read') });
    }
    return answers;
  });
  const bytes = middle(answers.map(({ bytes }) => bytes.milliseconds));
  const whole = middle(answers.map(({ read }) => read.milliseconds));
  const module = Math.max(...answers.map(({ read }) => read.memory));
  console.log(
    `${basename(path)}: ${(size / 1e6).toFixed(0)} MB, ${answers[0].read.codes} code(s); ` +
      `read ${(whole / 1000).toFixed(2)} s, bytes alone ${(bytes / 1000).toFixed(2)} s, ` +
      `ratio ${(whole / bytes).toFixed(2)} (middle of ${rounds}); ` +
      `wasm memory ${(module / MIB).toFixed(1)} MiB, largest process ` +
      `${(peak / MIB).toFixed(0)} MiB, with bytes alone ${(alone.peak / MIB).toFixed(0)} MiB`,
  );
}

/** Puts a file into the page, from where the worker gets it. */
async function choose(page, path) {
  await page.evaluate(() => {
    const input = document.body.appendChild(document.createElement('input'));
    input.type = 'file';
    input.id = 'bench';
  });
  await page.locator('#bench').setInputFiles(path);
}

function run(page, kind) {
  return page.evaluate(
    (kind) =>
      new Promise((resolve, reject) => {
        const worker = globalThis.benchWorker;
        const [file] = document.querySelector('#bench').files;
        worker.onmessage = ({ data }) => {
          if (data.kind === 'failed') reject(new Error(data.problem.detail));
          if (data.kind === 'bytes-passed') resolve(data.cost);
          if (data.kind === 'read') {
            resolve({ ...data.cost, codes: data.reading.report.codes.length });
          }
        };
        worker.postMessage({ kind, job: 1, file });
      }),
    kind,
  );
}
