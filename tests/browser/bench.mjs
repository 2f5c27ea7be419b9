// Reads long recordings through the page in headless Chromium, beside the same bytes on the same
// way without being read; and as programs, beside FFmpeg. Prints a line for each file.
//
//   node bench.mjs [FILE…]      without files, recordings are made, and the table in docs/speed

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { closeSync, mkdtempSync, openSync, rmSync, statSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { Bench, choose, MIB, middle, ROOT, run, waveHead } from './bench-browser.mjs';
import { publish } from './measured.mjs';

/** What is made: seconds, and how many channels. */
const MADE = [
  { name: 'one hour, mono', seconds: 3600, channels: 1 },
  { name: 'five minutes, 8 channels, code on one', seconds: 300, channels: 8 },
];
/** How often each is read; the middle one counts. */
const ROUNDS = 3;
const RUN = ['run', '--release', '--quiet', '-p'];
const COLUMNS = [
  'recording, 48 kHz, 24 bits',
  'MB',
  'read, s',
  'bytes alone, s',
  'ratio',
  'natively, s',
  'FFmpeg, s',
  'module’s memory, MiB',
  'largest process, MiB',
];

const folder = mkdtempSync(join(tmpdir(), 'plumbline-bench-'));
const bench = await Bench.start();
try {
  const files = process.argv.slice(2);
  for (const file of files) await measure(file);
  const rows = [];
  for (const recording of files.length === 0 ? MADE : []) rows.push(await row(recording));
  if (rows.length > 0) publish('reading', COLUMNS, rows);
} finally {
  bench.end();
  rmSync(folder, { recursive: true });
}

/** A made recording as a line of the table. */
async function row({ name, seconds, channels }) {
  const path = make(seconds, channels);
  const { size, whole, bytes, module, peak } = await measure(path);
  const cells = [
    name,
    (size / 1e6).toFixed(0),
    (whole / 1000).toFixed(2),
    (bytes / 1000).toFixed(2),
    (whole / bytes).toFixed(2),
    natively(path).toFixed(2),
    byFfmpeg(path).toFixed(2),
    (module / MIB).toFixed(1),
    (peak / MIB).toFixed(0),
  ];
  rmSync(path);
  return cells;
}

/** 48 kHz 24-bit, clean code on the last channel, noise on the others: RF64 past 4 GiB. */
function make(seconds, channels) {
  const path = join(folder, `${seconds}-${channels}.wav`);
  const file = openSync(path, 'w');
  writeSync(file, waveHead(seconds * 48_000 * 3 * channels, 24, channels));
  for (let minute = 0; minute < seconds / 60; minute += 1) {
    writeSync(file, besideNoise(minuteOfCode(minute), channels));
  }
  closeSync(file);
  return path;
}

/** A minute of mono code that goes on from the one before, without its header. */
function minuteOfCode(number) {
  const settings = ['rate=25', 'sample_rate=48000', 'samples=24', 'length=00:01:00:00'];
  const [hour, minute] = [10 + Math.floor(number / 60), number % 60];
  const start = `start=${hour}:${String(minute).padStart(2, '0')}:00:00`;
  const made = execFileSync(
    'cargo',
    [...RUN, 'plumbline-tone', '--example', 'make', '--', ...settings, start],
    { cwd: ROOT, maxBuffer: 1 << 26 },
  );
  const data = made.indexOf('data', 12, 'latin1');
  return made.subarray(data + 8, data + 8 + made.readUInt32LE(data + 4));
}

/** Mono code as the last of these channels; on each other one noise, 40 dB below full scale. */
function besideNoise(code, channels) {
  if (channels === 1) return code;
  const frames = code.length / 3;
  const all = Buffer.alloc(code.length * channels);
  let state = 7;
  for (let frame = 0; frame < frames; frame += 1) {
    for (let channel = 0; channel < channels - 1; channel += 1) {
      // xorshift (Marsaglia, 2003).
      state ^= state << 13;
      state ^= state >>> 17;
      state ^= state << 5;
      all.writeIntLE(Math.trunc(state / 2 ** 15), (frame * channels + channel) * 3, 3);
    }
    code.copy(all, (frame * channels + channels - 1) * 3, frame * 3, frame * 3 + 3);
  }
  return all;
}

function example(crate, name, ...given) {
  const options = [...RUN, crate, '--example', name, '--', ...given];
  return execFileSync('cargo', options, { cwd: ROOT, encoding: 'utf8', maxBuffer: 1 << 28 });
}

/** Seconds that the program takes, which is compiled already. */
function natively(path) {
  return middleSeconds(() => {
    const report = JSON.parse(example('plumbline-shoot', 'read', path));
    assert.equal(report.codes.length, 1);
  });
}

/** Seconds that FFmpeg takes to decode. */
function byFfmpeg(path) {
  const decode = ['-v', 'error', '-i', path, '-f', 'null', '-'];
  return middleSeconds(() => execFileSync('ffmpeg', decode));
}

function middleSeconds(work) {
  const times = [0, 1, 2].map(() => {
    const begun = performance.now();
    work();
    return (performance.now() - begun) / 1000;
  });
  return middle(times);
}

async function measure(path) {
  const size = statSync(path).size;
  const alone = await bench.inNewBrowser('worker', async (page) => {
    await choose(page, path);
    return run(page, 'bytes-only');
  });
  const { answers, peak } = await bench.inNewBrowser('worker', async (page) => {
    await choose(page, path);
    // Once for the file's way into the system's memory, then in turn; the middle one counts.
    await run(page, 'bytes-only');
    const answers = [];
    for (let round = 0; round < ROUNDS; round += 1) {
      answers.push({ bytes: await run(page, 'bytes-only'), read: await run(page, 'read') });
    }
    return answers;
  });
  for (const { read } of answers) assert.equal(read.codes.length, 1);
  const bytes = middle(answers.map(({ bytes }) => bytes.milliseconds));
  const whole = middle(answers.map(({ read }) => read.milliseconds));
  const module = Math.max(...answers.map(({ read }) => read.memory));
  console.log(
    `${basename(path)}: ${(size / 1e6).toFixed(0)} MB, ${answers[0].read.codes.length} code(s); ` +
      `read ${(whole / 1000).toFixed(2)} s, bytes alone ${(bytes / 1000).toFixed(2)} s, ` +
      `ratio ${(whole / bytes).toFixed(2)} (middle of ${ROUNDS}); ` +
      `wasm memory ${(module / MIB).toFixed(1)} MiB, largest process ` +
      `${(peak / MIB).toFixed(0)} MiB, with bytes alone ${(alone.peak / MIB).toFixed(0)} MiB`,
  );
  return { size, whole, bytes, module, peak };
}
