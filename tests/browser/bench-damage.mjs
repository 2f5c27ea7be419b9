// Reads damaged code through the page in headless Chromium, and writes how many times quicker than it
// runs that is into docs/speed.
//
//   node bench-damage.mjs

import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { Bench, choose, middle, ROOT, run } from './bench-browser.mjs';
import { publish } from './measured.mjs';

const SECONDS = 120;
const ROUNDS = 3;

const folder = mkdtempSync(join(tmpdir(), 'plumbline-bench-'));
const bench = await Bench.start();
try {
  const write = ['run', '--release', '--quiet', '-p', 'plumbline-damage', '--example', 'damaged'];
  execFileSync('cargo', [...write, '--', folder], { cwd: ROOT });
  const rows = [];
  for (const file of readdirSync(folder)) rows.push(await measure(join(folder, file)));
  rows.sort((a, b) => b[2] - a[2]);
  publish('damage', ['over the code', 'codewords read', 'times quicker than it runs'], rows);
} finally {
  bench.end();
  rmSync(folder, { recursive: true });
}

async function measure(path) {
  const { answers } = await bench.inNewBrowser('worker', async (page) => {
    await choose(page, path);
    const answers = [];
    for (let round = 0; round < ROUNDS; round += 1) answers.push(await run(page, 'read'));
    return answers;
  });
  const milliseconds = middle(answers.map(({ milliseconds }) => milliseconds));
  const [{ codes }] = answers;
  // Where no codeword can be read by itself, all of them together are.
  if (codes.length === 0) throw new Error(`${path}: nothing was read`);
  const read = codes.map((code) => code.frames_read).join(' and ');
  const row = [
    basename(path, '.wav'),
    `${read} of ${SECONDS * 25}`,
    ((SECONDS * 1000) / milliseconds).toFixed(0),
  ];
  console.log(row.join('\t'));
  return row;
}
