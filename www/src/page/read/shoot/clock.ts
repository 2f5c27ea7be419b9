// The recordings on one clock: what was read goes in, what is shown of the shoot comes out.

import { computed, effect, type ReadonlySignal, signal } from '@preact/signals';
import type { Shoot } from '../../../protocol/messages';
import type { OneClock } from '../../../wasm/plumbline';
import { keepShoot, recallShoot } from '../kept';
import { shoot as words } from '../../../text/en-shoot';
import { addDemoDay, ended, putBack, removeAll, restore, sheets, summaryOf } from '../sheets';
import * as changes from './changes';

/** The module that lays recordings on one clock, once it is loaded. */
type Module = typeof import('../../../wasm/plumbline');

const module = signal<Module | undefined>(undefined);
export const name = signal('');
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
    const summary = summaryOf(sheet.phase.peek());
    if (summary === undefined) return [];
    const key = keyOf(sheet);
    return [{ key, folder: sheet.folder, summary, sounds: changes.sounds.value[key] ?? [] }];
  });
  return new loaded.OneClock({ name: name.value, entries, corrections: changes.changed.value });
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

/** Puts back the shoot of an earlier visit, and keeps what happens from then on. */
export async function recall(): Promise<void> {
  if (recalled) return;
  recalled = true;
  const kept = await recallShoot();
  if (kept !== undefined && sheets.value.length === 0) {
    name.value = kept.name;
    const { corrections, recordings } = kept;
    changes.putBack({ corrections, sounds: changes.withSounds(recordings) });
    await restore(kept.recordings);
  }
  effect(() => {
    void ended.value;
    const recordings = sheets.value.flatMap(({ key, name, folder, size, phase }) => {
      if (key === undefined) return [];
      const value = phase.peek();
      const about = { key, name, folder, size, sounds: changes.sounds.value[key] ?? [] };
      return [value.is === 'known' ? { ...about, summary: value.summary } : about];
    });
    void keepShoot({ name: name.value, recordings, corrections: changes.changed.value });
  });
}

/** A shoot that was cleared, as long as the page is open. */
const cleared = signal<(() => void) | undefined>(undefined);

/** Whether there is a shoot to bring back. */
export const canBringBack = computed(() => cleared.value !== undefined);

/** Takes all off the page: recordings, the name and what was changed by hand. */
export function clear(): void {
  const all = sheets.value;
  const [was, changed] = [name.value, changes.state()];
  cleared.value = () => {
    putBack(all);
    name.value = was;
    changes.putBack(changed);
  };
  removeAll();
  name.value = '';
  changes.forgetChanges();
}

/** Puts the shoot that was cleared last back onto the page. */
export function bringBack(): void {
  cleared.value?.();
  cleared.value = undefined;
}

/** Makes up a day with the troubles that such days have, and reads it. */
export async function addDemoShoot(): Promise<void> {
  await need();
  const demo = module.value?.Demo;
  if (demo === undefined) return;
  const numbers = Array.from({ length: demo.of_day() }, (_, number) => number);
  addDemoDay(
    numbers.map((number) => ({
      folder: demo.folder_of_day(number),
      name: demo.name_of_day(number),
    })),
  );
  if (name.value === '') name.value = words.demoName;
}

/** Why the last saved shoot could not be opened. */
export const notOpened = signal<{ name: string; text: string; remedy: string } | undefined>(
  undefined,
);

/** Opens a saved shoot beside what is on the page already. */
export async function openSaved(file: File): Promise<void> {
  notOpened.value = undefined;
  await need();
  const opened = module.value?.open_sheet(await file.text());
  if (opened === undefined) return;
  const { sheet, text, remedy } = opened;
  if (sheet === undefined) {
    notOpened.value = { name: file.name, text, remedy };
    return;
  }
  if (sheets.value.length === 0 || name.value === '') name.value = sheet.name;
  const { names, recordings, marks } = sheet.corrections;
  const own = changes.changed.value;
  changes.change({
    corrections: {
      names: { ...own.names, ...names },
      recordings: { ...own.recordings, ...recordings },
      marks: [...(own.marks ?? []), ...(marks ?? [])],
    },
    sounds: changes.withSounds(sheet.entries),
  });
  const known = sheet.entries.map(({ key, folder, summary }) => {
    return { key, name: summary.file ?? key, folder, size: 0, summary };
  });
  await restore(known);
}

export function rename(to: string): void {
  name.value = to;
}
