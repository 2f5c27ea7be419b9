// The clocks of this device, read together: plain readings, no arithmetic.

import type { LiveModule } from '../../../protocol/live';
import type { ClockReading } from '../../../wasm/plumbline';

export type Reading = Required<ClockReading>;

/** Not every browser has both of these. */
type Output = Partial<Pick<AudioContext, 'getOutputTimestamp' | 'outputLatency'>>;

/** What all clocks say now. The output's come first: whatever comes between them and the others
 * makes it look late, never early. */
export function reading(context: AudioContext): Reading {
  const output: Output = context;
  const timestamp = output.getOutputTimestamp?.call(context);
  return {
    output_seconds: timestamp?.contextTime,
    output_milliseconds: timestamp?.performanceTime,
    made_seconds: context.currentTime,
    latency_seconds: output.outputLatency,
    unix_milliseconds: Date.now(),
    page_milliseconds: performance.now(),
  };
}

/** Hands a reading to a module. */
export function readClocks(module: LiveModule, reading: Reading): void {
  module.read_clocks(
    reading.unix_milliseconds,
    reading.page_milliseconds,
    reading.output_seconds ?? NaN,
    reading.output_milliseconds ?? NaN,
    reading.made_seconds,
    reading.latency_seconds ?? NaN,
  );
}

const READINGS = 12;
/** Milliseconds between two. */
const APART = 20;

/** So many readings that one which was held up does not matter. */
export async function readings(context: AudioContext): Promise<Reading[]> {
  const all: Reading[] = [];
  while (all.length < READINGS) {
    await new Promise((done) => setTimeout(done, APART));
    all.push(reading(context));
  }
  return all;
}

/** How many minutes local time is ahead of UTC. */
export function offsetMinutes(): number {
  return -new Date().getTimezoneOffset();
}
