// The page's own clock, once it was set from code: it runs on until somebody lets it go or the
// page is closed.

import { effect, type ReadonlySignal, signal } from '@preact/signals';
import type { Held } from '../../protocol/listen';
import { pageModule } from '../module';

const clock = signal<Held | undefined>(undefined);

export const held: ReadonlySignal<Held | undefined> = clock;

/** Sets the clock; one that ran before says how far it had drifted. */
export async function hold(next: Held): Promise<void> {
  const before = clock.value;
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
