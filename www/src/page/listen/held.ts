// The page's own clock, once it was set from code: it runs on until somebody lets it go or the
// page is closed.

import { effect, type ReadonlySignal, signal } from '@preact/signals';
import type { Held } from '../../protocol/listen';
import { pageModule } from '../module';

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
}

export function letGo(): void {
  clock.value = undefined;
}

/** The browser asks before it closes the page. */
effect(() => {
  if (clock.value === undefined) return undefined;
  const ask = (event: Event) => event.preventDefault();
  addEventListener('beforeunload', ask);
  return () => removeEventListener('beforeunload', ask);
});
