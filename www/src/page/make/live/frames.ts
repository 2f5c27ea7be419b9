// What is at the output, looked at before every picture that the screen shows.

import { type ReadonlySignal, signal } from '@preact/signals';
import type { Codeword } from '../../../protocol/live';
import { beforeEachPicture } from '../../pictures';
import type { Run } from './run';

const shown = signal<Codeword | undefined>(undefined);
let stop = () => {};

/** The codeword at the output when the next picture is seen, as far as that can be told. */
export const atOutput: ReadonlySignal<Codeword | undefined> = shown;

/** Follows a run; nothing where there is none. */
export function follow(run: Run | undefined): void {
  stop();
  shown.value = undefined;
  if (run === undefined) return;
  stop = beforeEachPicture((ahead) => (shown.value = run.atOutput(ahead)));
}
