// The part of the day that a drawing shows: from a whole day to a few frames.

import { computed, signal } from '@preact/signals';
import { oneClock, shoot } from './clock';

export type Window = { readonly from: number; readonly to: number };

/** A few frames are the least that is shown. */
const LEAST_FRAMES = 6;
/** Room on either side of the day, as a part of it. */
const MARGIN = 0.02;

const chosen = signal<Window | undefined>(undefined);
/** Where the hand points, in seconds on the clock. */
export const pointedAt = signal<number | undefined>(undefined);

/** The whole day. */
const whole = computed((): Window => {
  const { from, to } = shoot.value ?? { from: 0, to: 1 };
  const margin = Math.max((to - from) * MARGIN, 0.5);
  return { from: from - margin, to: to + margin };
});

/** What is shown. */
export const shown = computed((): Window => chosen.value ?? whole.value);

export const isWhole = computed(() => chosen.value === undefined);

/** Makes what is shown shorter or longer by a factor; what stands at `at` stays where it is. */
export function zoom(factor: number, at: number): void {
  const { from, to } = shown.value;
  const length = (to - from) * factor;
  const part = (at - from) / (to - from);
  show({ from: at - length * part, to: at + length * (1 - part) });
}

/** Moves what is shown by a part of its length. */
export function pan(part: number): void {
  const { from, to } = shown.value;
  const by = (to - from) * part;
  show({ from: from + by, to: to + by });
}

export function showWhole(): void {
  chosen.value = undefined;
}

/** Brings a place into sight without changing how much is shown. */
export function reveal(at: number): void {
  const { from, to } = shown.value;
  if (at < from || at > to) show({ from: at - (to - from) / 2, to: at + (to - from) / 2 });
}

/** Shows a part of the day; never more than the whole, never less than a few frames. */
export function show(wanted: Window): void {
  const all = whole.value;
  const least = LEAST_FRAMES * (oneClock.value?.frame() ?? 0.04);
  const length = Math.max(wanted.to - wanted.from, least);
  if (length >= all.to - all.from) {
    chosen.value = undefined;
    return;
  }
  const from = Math.min(Math.max(wanted.from, all.from), all.to - length);
  chosen.value = { from, to: from + length };
}
