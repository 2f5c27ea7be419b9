// Makes files through the page in headless Chromium, beside as many zero bytes on the same way.
// Prints a line for an hour and one for twelve.
//
//   node bench-make.mjs

import { Bench, MIB, middle } from './bench-browser.mjs';

const ROUNDS = 5;

const bench = await Bench.start();
try {
  await compare('01:00:00:00');
  await watch('12:00:00:00');
} finally {
  bench.end();
}

/** An hour, in turn with its zero bytes; the middle one counts. */
async function compare(length) {
  const { answers } = await bench.inNewBrowser('maker', async (page) => {
    const { bytes } = await make(page, length);
    const answers = [];
    for (let round = 0; round < ROUNDS; round += 1) {
      answers.push({
        zeros: await passZeros(page, bytes),
        made: await make(page, length),
      });
    }
    return answers;
  });
  const zeros = middle(answers.map(({ zeros }) => zeros.writing));
  const made = middle(answers.map(({ made }) => made.writing));
  const readBack = middle(answers.map(({ made }) => made.readingBack));
  console.log(
    `${length}: ${(answers[0].made.bytes / 1e6).toFixed(0)} MB; ` +
      `made ${seconds(made)}, zero bytes alone ${seconds(zeros)}, ` +
      `ratio ${(made / zeros).toFixed(2)} (middle of ${ROUNDS}); read back ${seconds(readBack)}: ` +
      answers[0].made.text,
  );
}

/** A long one, for its memory; and what the browser takes for the zero bytes alone. */
async function watch(length) {
  const whole = await bench.inNewBrowser('maker', (page) => make(page, length));
  const alone = await bench.inNewBrowser('maker', (page) => passZeros(page, whole.answers.bytes));
  const { bytes, writing, readingBack, memory, text } = whole.answers;
  console.log(
    `${length}: ${(bytes / 1e6).toFixed(0)} MB; made ${seconds(writing)}, ` +
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
function make(page, length) {
  return job(page, { kind: 'make', length });
}

function passZeros(page, bytes) {
  return job(page, { kind: 'zeros-only', bytes });
}

/**
 * One job of the page's worker, into a file of the origin's own: its handle is of the kind that
 * the save dialogue gives.
 */
function job(page, order) {
  return page.evaluate(async (order) => {
    const worker = globalThis.benchWorker;
    const folder = await navigator.storage.getDirectory();
    const to = await folder.getFileHandle('bench.wav', { create: true });
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
    await folder.removeEntry('bench.wav');
    return { ...cost, bytes, text: outcome?.text };
  }, order);
}
