// Keeping the screen from going dark while code plays.

import { type ReadonlySignal, signal } from '@preact/signals';

export type Awake = 'asked' | 'kept' | 'refused' | 'not-to-be-had';

const state = signal<Awake>('not-to-be-had');
let wanted = false;
let lock: WakeLockSentinel | undefined;

/** Whether the screen is kept awake. */
export const awake: ReadonlySignal<Awake> = state;

export function keepAwake(): void {
  wanted = true;
  void ask();
}

export function letSleep(): void {
  wanted = false;
  void lock?.release();
  lock = undefined;
}

/** Browsers let go of the lock when the page is not seen. */
document.addEventListener('visibilitychange', () => {
  if (wanted && document.visibilityState === 'visible') void ask();
});

async function ask(): Promise<void> {
  const { wakeLock } = navigator as { wakeLock?: WakeLock };
  state.value = wakeLock === undefined ? 'not-to-be-had' : 'asked';
  try {
    lock = await wakeLock?.request('screen');
    if (lock !== undefined) state.value = 'kept';
    if (!wanted) letSleep();
  } catch {
    state.value = 'refused';
  }
}
