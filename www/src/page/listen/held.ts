// The page's own clock, once it was set from code: it runs on until somebody lets it go. It is kept
// on this device; a page that is opened again has it by the time of day.

import { type ReadonlySignal, signal } from '@preact/signals';
import type { Held } from '../../protocol/listen';
import { pageModule } from '../module';
import { keepOnDevice, keptOnDevice } from '../on-device';

const KEY = 'plumbline.held';
const clock = signal<Held | undefined>(undefined);

/** By how many milliseconds the time of day is ahead of the page's clock. */
export function timeOfDayAhead(): number {
  return Date.now() - performance.now();
}

export const held: ReadonlySignal<Held | undefined> = clock;

/** Sets the clock; one that ran before says how far it had drifted. */
export async function hold(jammed: Held): Promise<void> {
  const before = clock.value;
  const next = { ...jammed, ahead: timeOfDayAhead() };
  clock.value = before === undefined ? next : (await pageModule()).jammed_again(next, before);
  keepOnDevice(KEY, clock.value);
}

export function letGo(): void {
  clock.value = undefined;
  keepOnDevice(KEY, undefined);
}

async function recall(): Promise<void> {
  const kept = keptOnDevice(KEY);
  if (kept === undefined) return;
  const { held_on_page } = await pageModule();
  try {
    clock.value ??= held_on_page(kept as Held, performance.now(), timeOfDayAhead());
  } catch {
    // It is no clock.
    keepOnDevice(KEY, undefined);
  }
}

void recall();
