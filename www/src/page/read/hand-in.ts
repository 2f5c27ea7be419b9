// What happens with files that were handed in, whichever way they came.

import { signal } from '@preact/signals';
import type { Delivery } from './incoming';
import { add } from './sheets';

/** How many files of the folder that came last are no recordings by their names. */
export const leftAlone = signal(0);

export function take({ recordings, others }: Delivery): void {
  leftAlone.value = others;
  add(recordings);
}
