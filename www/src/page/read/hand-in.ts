// What happens with files that were handed in, whichever way they came.

import { signal } from '@preact/signals';
import type { Delivery } from './incoming';
import { add } from './sheets';
import { openSaved } from './shoot/clock';

/** How many files of the folder that came last are no recordings by their names. */
export const leftAlone = signal(0);

export function take({ recordings, others }: Delivery): void {
  leftAlone.value = others;
  const saved = recordings.filter(({ file }) => isShoot(file));
  for (const { file } of saved) void openSaved(file);
  add(recordings.filter(({ file }) => !isShoot(file)));
}

/** A saved shoot goes by its ending: no recording has it. */
function isShoot({ name }: File): boolean {
  return /\.json$/i.test(name);
}
