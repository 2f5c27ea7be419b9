// What somebody changed: by hand, or by lining up by sound; and the way back, step by step.

import { computed, type ReadonlySignal, signal } from '@preact/signals';
import type { Corrections, SoundLine } from '../../../protocol/messages';

/** How recordings lie by their sound, under their keys. */
type Sounds = Readonly<Record<string, SoundLine[]>>;

type State = { readonly corrections: Corrections; readonly sounds: Sounds };

const NOTHING: State = { corrections: { names: {}, recordings: {} }, sounds: {} };

const now = signal<State>(NOTHING);
const before = signal<readonly State[]>([]);

/** What was changed by hand. */
export const changed: ReadonlySignal<Corrections> = computed(() => now.value.corrections);
export const sounds: ReadonlySignal<Sounds> = computed(() => now.value.sounds);

/** Whether there is a change to take back. */
export const canUndo = computed(() => before.value.length > 0);

/** Changes something, so that it can be taken back. */
export function change(to: Partial<State>): void {
  before.value = [...before.value, now.value];
  now.value = { ...now.value, ...to };
}

export function undo(): void {
  const last = before.value.at(-1);
  if (last === undefined) return;
  before.value = before.value.slice(0, -1);
  now.value = last;
}

/** All of it, to be put back with `putBack`. */
export function state(): State {
  return now.value;
}

/** Puts back what an earlier visit or a cleared shoot had; there is no way back before that. */
export function putBack(to: State): void {
  now.value = to;
  before.value = [];
}

export function forgetChanges(): void {
  putBack(NOTHING);
}

/** What recordings that come from elsewhere know of their sound, beside what is known already. */
export function withSounds(entries: readonly { key: string; sounds?: SoundLine[] }[]): Sounds {
  const known = entries.flatMap(({ key, sounds: lines }) => (lines ? [[key, lines] as const] : []));
  return { ...now.value.sounds, ...Object.fromEntries(known) };
}
