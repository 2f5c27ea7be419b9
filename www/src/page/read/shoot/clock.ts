// The recordings on one clock: what was read goes in, what is shown of the shoot comes out.

import { computed, effect, type ReadonlySignal, signal } from '@preact/signals';
import type { Corrections, Shoot } from '../../../protocol/messages';
import type { OneClock } from '../../../wasm/plumbline';
import { keepShoot, recallShoot } from '../kept';
import { shoot as words } from '../../../text/en-shoot';
import { recallSounds, sounds } from './sounds';
import { addDemoDay, ended, putBack, removeAll, restore, sheets, summaryOf } from '../sheets';

/** The module that lays recordings on one clock, once it is loaded. */
type Module = typeof import('../../../wasm/plumbline');

const module = signal<Module | undefined>(undefined);
export const name = signal('');
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
    const summary = summaryOf(sheet.phase.peek());
    if (summary === undefined) return [];
    const key = keyOf(sheet);
    return [{ key, folder: sheet.folder, summary, sounds: sounds.value[key] ?? [] }];
  });
  return new loaded.OneClock({ name: name.value, entries, corrections: corrections.value });
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
    name.value = kept.name;
    corrections.value = kept.corrections;
    recallSounds(kept.recordings);
    await restore(kept.recordings);
  }
  effect(() => {
    void ended.value;
    const recordings = sheets.value.flatMap(({ key, name, folder, size, phase }) => {
      if (key === undefined) return [];
      const value = phase.peek();
      const about = { key, name, folder, size, sounds: sounds.value[key] ?? [] };
      return [value.is === 'known' ? { ...about, summary: value.summary } : about];
    });
    void keepShoot({ name: name.value, recordings, corrections: corrections.value });
  });
}

/** A shoot that was cleared, as long as the page is open. */
const cleared = signal<(() => void) | undefined>(undefined);

/** Whether there is a shoot to bring back. */
export const canBringBack = computed(() => cleared.value !== undefined);

/** Takes all off the page: recordings, the name and what was changed by hand. */
export function clear(): void {
  const all = sheets.value;
  const [was, typed, lines] = [name.value, corrections.value, sounds.value];
  cleared.value = () => {
    putBack(all);
    name.value = was;
    corrections.value = typed;
    sounds.value = lines;
  };
  removeAll();
  name.value = '';
  corrections.value = { names: {}, recordings: {} };
  before.value = [];
  sounds.value = {};
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
  const { names, recordings } = sheet.corrections;
  change({
    names: { ...corrections.value.names, ...names },
    recordings: { ...corrections.value.recordings, ...recordings },
  });
  recallSounds(sheet.entries);
  const known = sheet.entries.map(({ key, folder, summary }) => {
    return { key, name: summary.file ?? key, folder, size: 0, summary };
  });
  await restore(known);
}

export function rename(to: string): void {
  name.value = to;
}
