// The module as it is shipped, without a page around it: what its compiler and its optimiser made
// of the code, where a test of the crates would be right on another machine.

import { readFileSync } from 'node:fs';
import { expect, test } from '@playwright/test';
import { default_settings, initSync, Listening, Making } from '../../www/src/wasm/plumbline.js';

const HERTZ = 48_000;
/** Samples that a codeword has, at 25 frames a second. */
const CODEWORD = HERTZ / 25;
/** So many come together from an input (W3C, Web Audio API, clause 2.4). */
const QUANTUM = 128;

test.beforeAll(() => {
  const module = new URL('../../www/src/wasm/plumbline_bg.wasm', import.meta.url);
  initSync({ module: readFileSync(module) });
});

/** Two seconds of code. */
function code(): Float32Array {
  const settings = { ...default_settings(0, 0), rate: '25', length: '00:00:02:00' };
  const making = Making.open({ ...settings, samples: '16', sample_rate: String(HERTZ) });
  const file = new Uint8Array(making.total_bytes);
  for (let filled = 0; filled < file.length;) filled += making.fill(file.subarray(filled));
  const bytes = Buffer.from(file.buffer);
  const data = bytes.indexOf('data') + 8;
  const count = (bytes.length - data) >> 1;
  return Float32Array.from({ length: count }, (_, n) => bytes.readInt16LE(data + 2 * n) / 32_768);
}

/** How many codewords it takes from that sample on until there is an address. */
function knownAfter(samples: Float32Array): number {
  const listening = new Listening({
    hertz: HERTZ,
    channels: 1,
    latency: 0,
    time_of_day_ahead: 0,
    offset_minutes: 0,
  });
  let heard = 0;
  while (listening.codes() === 0 && heard < samples.length) {
    listening.push(heard, [samples.subarray(heard, heard + QUANTUM)]);
    heard += QUANTUM;
  }
  listening.free();
  return heard / CODEWORD;
}

test('an address is known after a hundred bits, wherever code is plugged in', () => {
  const samples = code();
  // Some bits go by before cells are known from half cells, and some of the last quantum.
  for (let bit = 0; bit < 80; bit += 1) {
    const pluggedIn = Math.round((bit * CODEWORD) / 80);
    expect(knownAfter(samples.subarray(pluggedIn)), `bit ${bit}`).toBeLessThan(112 / 80);
  }
});
