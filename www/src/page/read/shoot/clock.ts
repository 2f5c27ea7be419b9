// The recordings on one clock: what was read goes in, what is shown of the shoot comes out.

import { computed, effect, type ReadonlySignal, signal } from '@preact/signals';
import type { Corrections, Shoot } from '../../../protocol/messages';
import type { OneClock } from '../../../wasm/plumbline';
import { keepShoot, recallShoot } from '../kept';
import { ended, readingOf, restore, sheets } from '../sheets';

/** The module that lays recordings on one clock, once it is loaded. */
type Module = typeof import('../../../wasm/plumbline');

const module = signal<Module | undefined>(undefined);
/** What was changed by hand, and what it was before each change. */
const corrections = signal<Corrections>({ names: {}, recordings: {} });
const before = signal<readonly Corrections[]>([]);
/** Why the module could not be loaded. */
export const notLoaded = signal<string | undefined>(undefined);
let wanted = false;
let recalled = false;

/** How a recording is called between here and the crates. */
export function keyOf(sheet: { id: number; key: string | undefined }): string {
  return sheet.key ?? `demo ${sheet.id}`;
}

/** The recordings that have been read to their end, laid on one clock. */
export const oneClock: ReadonlySignal<OneClock | undefined> = computed(() => {
  // Readings that are still on their way change many times a second: only the ends count.
  void ended.value;
  const loaded = module.value;
  if (loaded === undefined) return undefined;
  const entries = sheets.value.flatMap((sheet) => {
    const phase = sheet.phase.peek();
    const reading = phase.is === 'read' || phase.is === 'failed' ? readingOf(phase) : undefined;
    if (reading === undefined) return [];
    return [{ key: keyOf(sheet), folder: sheet.folder, summary: reading.summary }];
  });
  return new loaded.OneClock({ entries, corrections: corrections.value });
});

/** What is shown of the shoot. */
export const shoot: ReadonlySignal<Shoot | undefined> = computed(() => oneClock.value?.shown());

/** Loads what lays recordings on one clock: a page with one recording does not need it. */
export async function need(): Promise<void> {
  if (wanted) return;
  wanted = true;
  notLoaded.value = undefined;
  try {
    const loaded = await import('../../../wasm/plumbline');
    await loaded.default();
    module.value = loaded;
  } catch (error) {
    wanted = false;
    notLoaded.value = error instanceof Error ? error.message : String(error);
  }
}

export const changed: ReadonlySignal<Corrections> = corrections;

/** Whether there is a change to take back. */
export const canUndo = computed(() => before.value.length > 0);

export function change(to: Corrections): void {
  before.value = [...before.value, corrections.value];
  corrections.value = to;
}

export function undo(): void {
  const last = before.value.at(-1);
  if (last === undefined) return;
  before.value = before.value.slice(0, -1);
  corrections.value = last;
}

/** Puts back the shoot of an earlier visit, and keeps what happens from then on. */
export async function recall(): Promise<void> {
  if (recalled) return;
  recalled = true;
  const kept = await recallShoot();
  if (kept !== undefined && sheets.value.length === 0) {
    corrections.value = kept.corrections;
    await restore(kept.recordings);
  }
  effect(() => {
    const recordings = sheets.value.flatMap(({ key, name, folder, size }) =>
      key === undefined ? [] : [{ key, name, folder, size }],
    );
    void keepShoot({ recordings, corrections: corrections.value });
  });
}
