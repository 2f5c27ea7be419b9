// What is at the output, looked at before every picture that the screen shows.

import { type ReadonlySignal, signal } from '@preact/signals';
import type { Codeword } from '../../../protocol/live';
import type { Run } from './run';

/** The longest that a picture can be on its way, in milliseconds: a screen of 30 a second. */
const SLOWEST = 34;
/** So many pictures tell how fast the screen is. */
const LOOKED_AT = 20;

const shown = signal<Codeword | undefined>(undefined);
let stop = () => {};

/** The codeword at the output when the next picture is seen, as far as that can be told. */
export const atOutput: ReadonlySignal<Codeword | undefined> = shown;

/** Follows a run; nothing where there is none. */
export function follow(run: Run | undefined): void {
  stop();
  shown.value = undefined;
  if (run === undefined) return;
  let request = 0;
  let before = 0;
  let apart: number[] = [];
  const look = (now: number) => {
    if (before > 0) apart = [...apart, now - before].slice(-LOOKED_AT);
    before = now;
    // A picture is seen one refresh after it is made: at the soonest.
    shown.value = run.atOutput(Math.min(SLOWEST, ...apart));
    request = requestAnimationFrame(look);
  };
  request = requestAnimationFrame(look);
  stop = () => cancelAnimationFrame(request);
}
