// What is kept on this device: readings, so that a recording that is dropped again is not read
// again, and the shoot as it stands. Recordings themselves are never kept.

import { clear, createStore, get, keys, set, type UseStore } from 'idb-keyval';
import module from '../../wasm/plumbline_bg.wasm?url';
import type { Corrections, Reading, SoundLine, Summary } from '../../protocol/messages';

/** A whole reading, as the worker gave it. */
export type KeptReading = { reading: Reading; csv: string };

/** A shoot: its name, its recordings in order, and what was changed by hand. */
export type KeptShoot = {
  name: string;
  recordings: readonly KeptRecording[];
  corrections: Corrections;
};

export type KeptRecording = {
  key: string;
  name: string;
  folder: string;
  size: number;
  /** What is known of a recording that a saved shoot brought. */
  summary?: Summary;
  /** How it lies by its sound. */
  sounds?: SoundLine[];
};

type Versioned = KeptReading & { readBy: string };

const SHOOT = 'shoot';
const PREFIX = 'reading ';

let store: UseStore | undefined;

function opened(): UseStore {
  store ??= createStore('plumbline', 'kept');
  return store;
}

/** What tells a file apart from others, and is the same when it is dropped again. */
export function keyOf({ name, size, lastModified }: File, folder: string): string {
  return `${folder}/${name} ${size} ${lastModified}`;
}

/** A reading that was kept, if the module that reads now is the one that made it. */
export async function recallReading(key: string): Promise<KeptReading | undefined> {
  const kept = await attempt(() => get<Versioned>(PREFIX + key, opened()));
  return kept?.readBy === module ? kept : undefined;
}

export async function keepReading(key: string, kept: KeptReading): Promise<void> {
  await attempt(() => set(PREFIX + key, { ...kept, readBy: module }, opened()));
}

export function recallShoot(): Promise<KeptShoot | undefined> {
  return attempt(() => get<KeptShoot>(SHOOT, opened()));
}

export async function keepShoot(shoot: KeptShoot): Promise<void> {
  await attempt(() => set(SHOOT, shoot, opened()));
}

/** How many readings are kept. */
export async function howMany(): Promise<number> {
  const all = (await attempt(() => keys<string>(opened()))) ?? [];
  return all.filter((key) => key.startsWith(PREFIX)).length;
}

/** Keeps nothing of it any more. */
export async function forget(): Promise<void> {
  await attempt(() => clear(opened()));
}

/** A browser that keeps nothing loses nothing but this. */
async function attempt<T>(work: () => Promise<T>): Promise<T | undefined> {
  try {
    return await work();
  } catch {
    return undefined;
  }
}
