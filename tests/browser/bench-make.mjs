// Makes files through the page in headless Chromium, beside as many zero bytes on the same way.
// Prints a line for each way, and one for a file of twelve hours.
//
//   node bench-make.mjs

import { Bench, MIB, middle } from './bench-browser.mjs';

const ROUNDS = 5;

const bench = await Bench.start();
try {
  for (const way of ['disk', 'page']) await compare(way, '01:00:00:00');
  for (const way of ['disk', 'page']) await watch(way, '12:00:00:00');
} finally {
  bench.end();
}

/** An hour, in turn with its zero bytes; the middle one counts. */
async function compare(way, length) {
  const { answers } = await bench.inNewBrowser('maker', async (page) => {
    const { bytes } = await make(page, way, length);
    const answers = [];
    for (let round = 0; round < ROUNDS; round += 1) {
      answers.push({
        zeros: await passZeros(page, way, bytes),
        made: await make(page, way, length),
      });
    }
    return answers;
  });
  const zeros = middle(answers.map(({ zeros }) => zeros.writing));
  const made = middle(answers.map(({ made }) => made.writing));
  const readBack = middle(answers.map(({ made }) => made.readingBack));
  console.log(
    `${length} to the ${way}: ${(answers[0].made.bytes / 1e6).toFixed(0)} MB; ` +
      `made ${seconds(made)}, zero bytes alone ${seconds(zeros)}, ` +
      `ratio ${(made / zeros).toFixed(2)} (middle of ${ROUNDS}); read back ${seconds(readBack)}: ` +
      answers[0].made.text,
  );
}

/** A long one, for its memory; and what the browser takes for the zero bytes alone. */
async function watch(way, length) {
  const whole = await bench.inNewBrowser('maker', (page) => make(page, way, length));
  const alone = await bench.inNewBrowser('maker', (page) =>
    passZeros(page, way, whole.answers.bytes),
  );
  const { bytes, writing, readingBack, memory, text } = whole.answers;
  console.log(
    `${length} to the ${way}: ${(bytes / 1e6).toFixed(0)} MB; made ${seconds(writing)}, ` +
      `read back ${seconds(readingBack)}: ${text} ` +
      `wasm memory ${(memory / MIB).toFixed(1)} MiB, largest process ` +
      `${(whole.peak / MIB).toFixed(0)} MiB, with zero bytes alone ` +
      `${(alone.peak / MIB).toFixed(0)} MiB`,
  );
}

function seconds(milliseconds) {
  return `${(milliseconds / 1000).toFixed(2)} s`;
}

/** 48 kHz, 24 bit, mono, as the page has it by itself. */
function make(page, way, length) {
  return job(page, way, { kind: 'make', length });
}

function passZeros(page, way, bytes) {
  return job(page, way, { kind: 'zeros-only', bytes });
}

/**
 * One job of the page's worker. To the disk it goes through a file of the origin's own, whose
 * handle is of the kind that the save dialogue gives.
 */
function job(page, way, order) {
  return page.evaluate(
    async ({ way, order }) => {
      const worker = globalThis.benchWorker;
      const folder = await navigator.storage.getDirectory();
      const to =
        way === 'disk' ? await folder.getFileHandle('bench.wav', { create: true }) : undefined;
      const ask = (message, wanted) =>
        new Promise((resolve, reject) => {
          let bytes = 0;
          worker.onmessage = ({ data }) => {
            if (data.problem !== undefined) reject(new Error(data.problem.detail));
            if (data.kind === 'written') ({ bytes } = data);
            if (data.kind === wanted) resolve({ ...data, bytes });
          };
          worker.postMessage(message);
        });
      const now = { milliseconds: 0, offset: 0 };
      const { defaults } = await ask({ kind: 'defaults', request: 1, now }, 'defaults');
      const { length = '' } = order;
      const settings = { ...defaults.fixed, length };
      const ended = order.kind === 'make' ? 'made' : 'zeros-passed';
      const { cost, outcome, bytes } = await ask({ ...order, job: 1, settings, to }, ended);
      if (to !== undefined) await folder.removeEntry('bench.wav');
      return { ...cost, bytes, text: outcome?.text };
    },
    { way, order },
  );
}
