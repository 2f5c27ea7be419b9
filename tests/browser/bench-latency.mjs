// Plays code into the page that listens, at ten places within a codeword, and writes how soon its
// address is on the screen, and how late its digits change, into docs/speed. The code comes out of
// the browser's own sound graph: no socket and no driver is on its way. When its first sample comes
// to the page is noted beside it, by a worklet where the page's own one is.
//
//   node bench-latency.mjs

import { chromium } from '@playwright/test';
import { Bench, frames25, makeTone } from './bench-browser.mjs';
import { launchOptions } from './chromium.mjs';
import { publish } from './measured.mjs';

const SAMPLE_RATES = [44_100, 48_000];
/** Code is plugged in at so many places within a codeword. */
const PLACES = 10;
/** Milliseconds that a codeword lasts, at 25 frames a second. */
const CODEWORD = 40;
/** Milliseconds between two pictures, as headless Chromium shows them: what the page draws is seen
 * with the next one. */
const PICTURE = 1000 / 60;

const bench = await Bench.start();
try {
  const rows = [];
  for (const sampleRate of SAMPLE_RATES) rows.push(await measure(sampleRate));
  for (const row of rows) console.log(row.join('\t'));
  const columns = [
    'code into the page at',
    'from its first sample to its address being seen',
    'on the way to the page before that',
    'from plugging in to its address being seen',
    'digits are seen late by',
  ];
  publish('latency', columns, rows);
} finally {
  bench.end();
}

async function measure(sampleRate) {
  const browser = await chromium.launch(launchOptions);
  // The worklet of the test's own is of no origin that the page allows.
  const page = await browser.newPage({ bypassCSP: true });
  const code = makeTone(sampleRate, '00:00:08:00').toString('base64');
  await page.addInitScript(plug, { sampleRate, code });
  await page.goto(`${bench.address}#listen`);
  const firsts = [];
  const reaches = [];
  const wholes = [];
  const lates = [];
  for (let place = 0; place < PLACES; place += 1) {
    await page.getByRole('button', { name: 'Listen', exact: true }).click();
    await page.locator('.heard .digits').waitFor();
    const { begun, known, reached, shown } = await page.evaluate(
      (skipped) => globalThis.playFrom(skipped),
      1 + (place / PLACES) * (CODEWORD / 1000),
    );
    firsts.push((shown[0].at + PICTURE - reached) / CODEWORD);
    reaches.push(reached - begun);
    wholes.push((shown[0].at + PICTURE - begun) / CODEWORD);
    for (const { address, at } of shown.slice(1)) {
      const frame = frames25(address) - frames25('10:00:00:00') - 25 - place / PLACES;
      lates.push(at + PICTURE - begun - frame * CODEWORD);
    }
    console.log(
      `${sampleRate} Hz, place ${place}: ${firsts.at(-1).toFixed(2)}, known to ${known}, ` +
        `on the way ${reaches.at(-1).toFixed(0)} ms`,
    );
    await page.getByRole('button', { name: 'Stop', exact: true }).click();
  }
  await browser.close();
  const sorted = (values) => values.toSorted((a, b) => a - b);
  const [first, reach, whole, late] = [firsts, reaches, wholes, lates].map(sorted);
  const middle = (values) => values[Math.floor(values.length / 2)];
  return [
    `${sampleRate} Hz`,
    `${middle(first).toFixed(1)} codewords, at most ${first.at(-1).toFixed(1)}`,
    `${middle(reach).toFixed(0)} ms, at most ${reach.at(-1).toFixed(0)}`,
    `${middle(whole).toFixed(1)} codewords, at most ${whole.at(-1).toFixed(1)}`,
    `${middle(late).toFixed(0)} ms, pictures ${(PICTURE / 2).toFixed(0)} of it`,
  ];
}

/** In the page: the microphone is a sound graph that plays code when it is told to. */
function plug({ sampleRate, code }) {
  const context = new AudioContext({ sampleRate });
  const bytes = Uint8Array.from(atob(code), (letter) => letter.charCodeAt(0));
  const buffer = context.decodeAudioData(bytes.buffer);
  const { getSettings } = MediaStreamTrack.prototype;
  MediaStreamTrack.prototype.getSettings = function () {
    return { ...getSettings.call(this), sampleRate };
  };
  const first = `registerProcessor('first', class extends AudioWorkletProcessor {
    quiet = 0;
    process([input]) {
      const sounds = input[0]?.some((sample) => sample !== 0) ?? false;
      if (sounds && this.quiet > 100) this.port.postMessage(Date.now());
      this.quiet = sounds ? 0 : this.quiet + 1;
      return true;
    }
  })`;
  let cable;
  let reached;
  const { createMediaStreamSource } = AudioContext.prototype;
  AudioContext.prototype.createMediaStreamSource = function (stream) {
    const source = createMediaStreamSource.call(this, stream);
    void this.audioWorklet
      .addModule(`data:text/javascript,${encodeURIComponent(first)}`)
      .then(() => {
        const node = new AudioWorkletNode(this, 'first', { numberOfOutputs: 0 });
        node.port.onmessage = ({ data }) => (reached ??= data - performance.timeOrigin);
        source.connect(node);
      });
    return source;
  };
  navigator.mediaDevices.getUserMedia = async () => {
    await context.resume();
    cable = context.createMediaStreamDestination();
    const silence = new ConstantSourceNode(context, { offset: 0 });
    silence.connect(cable);
    silence.start();
    return cable.stream;
  };

  /** Plays from that second of the code on. Gives when that began by the page's clock, and how well
   * that is known, and each change of the digits in the two seconds after it. */
  globalThis.playFrom = async (skipped) => {
    const source = new AudioBufferSourceNode(context, { buffer: await buffer });
    source.connect(cable);
    reached = undefined;
    const from = context.currentTime + 1;
    source.start(from, skipped);
    const digits = document.querySelector('.heard .digits');
    const shown = [];
    const note = () => {
      if (/^\d/.test(digits.textContent)) {
        shown.push({ address: digits.textContent, at: performance.now() });
      }
    };
    const observer = new MutationObserver(note);
    observer.observe(digits, { childList: true, characterData: true, subtree: true });
    // The graph makes its sound in pieces: a sample is there when its piece is, at the soonest.
    const apart = [];
    const end = performance.now() + 3000;
    while (performance.now() < end) {
      apart.push(performance.now() - context.currentTime * 1000);
      await new Promise((done) => setTimeout(done, 1));
    }
    observer.disconnect();
    source.stop();
    apart.sort((a, b) => a - b);
    const known = `${(apart[Math.floor(apart.length * 0.9)] - apart[0]).toFixed(1)} ms`;
    return { begun: from * 1000 + apart[0], known, reached, shown };
  };
}
