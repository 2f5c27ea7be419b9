// Moments that somebody noted: kept on this device at once, so that a closed page loses nothing.

import { createStore, get, set, type UseStore } from 'idb-keyval';
import { type ReadonlySignal, signal } from '@preact/signals';
import type { Heard, Ticking } from '../../protocol/listen';
import { listen as words } from '../../text/en-listen';
import type { Mark as Said } from '../../wasm/plumbline';
import { download } from '../download';
import { pageModule } from '../module';
import { heard, phase } from './hearing';
import { held } from './held';

/** A mark, with a number of its own. */
export type Mark = Required<Said> & { number: number };

/** What is filled in later. */
export type Noted = 'word' | 'scene' | 'take';

const KEY = 'marks';

const all = signal<readonly Mark[]>([]);
const cleared = signal<readonly Mark[]>([]);
const notKept = signal<string | undefined>(undefined);
let store: UseStore | undefined;
let recalled: Promise<void> | undefined;

/** The marks, the first one first. */
export const marks: ReadonlySignal<readonly Mark[]> = all;

/** Marks that were cleared last, and can be brought back. */
export const clearedMarks: ReadonlySignal<readonly Mark[]> = cleared;

/** Why the browser does not keep them, where it does not. */
export const marksNotKept: ReadonlySignal<string | undefined> = notKept;

function opened(): UseStore {
  store ??= createStore('plumbline-marks', 'marks');
  return store;
}

/** The marks of earlier days, once. */
export function recallMarks(): Promise<void> {
  recalled ??= attempt(async () => {
    all.value = [...((await get<Mark[]>(KEY, opened())) ?? []), ...all.value];
  });
  return recalled;
}

async function change(next: readonly Mark[]): Promise<void> {
  all.value = next;
  await recallMarks();
  await attempt(() => set(KEY, all.value, opened()));
}

async function attempt(work: () => Promise<void>): Promise<void> {
  try {
    await work();
    notKept.value = undefined;
  } catch (error) {
    notKept.value = error instanceof Error ? error.message : String(error);
  }
}

/** Notes this moment, by the code of a channel. */
export async function addMark(channel: Heard['channels'][number]): Promise<void> {
  if (channel.ticking !== undefined) await note(channel.ticking, channel.title.toLowerCase());
}

/** Notes this moment by the clock that is held. */
export async function addMarkOfHeld(): Promise<void> {
  if (held.value !== undefined) await note(held.value.ticking, words.markedFrom.held);
}

async function note(ticking: Ticking, from: string): Promise<void> {
  const moment = performance.now();
  const made = new Date().toLocaleString('sv-SE');
  const { ticking_address } = await pageModule();
  const mark: Mark = {
    number: 1 + Math.max(0, ...all.value.map(({ number }) => number)),
    address: ticking_address(ticking, moment),
    rate: ticking.rate,
    drop_frame: ticking.drop_frame,
    heard: from,
    made,
    word: '',
    // What was typed last holds until something else is typed.
    scene: all.value.at(-1)?.scene ?? '',
    take: all.value.at(-1)?.take ?? '',
  };
  await change([...all.value, mark]);
}

export function editMark(number: number, field: Noted, value: string): void {
  void change(
    all.value.map((mark) => (mark.number === number ? { ...mark, [field]: value } : mark)),
  );
}

export function removeMark(number: number): void {
  cleared.value = all.value.filter((mark) => mark.number === number);
  void change(all.value.filter((mark) => mark.number !== number));
}

export function clearMarks(): void {
  cleared.value = all.value;
  void change([]);
}

/** Brings back what was removed or cleared last. */
export function bringBack(): void {
  const back = [...all.value, ...cleared.value].sort((a, b) => a.number - b.number);
  cleared.value = [];
  void change(back);
}

export async function handOverTable(): Promise<void> {
  const { marks_table } = await pageModule();
  download('marks.csv', 'text/csv', marks_table([...all.value]));
}

export async function handOverTimeline(): Promise<void> {
  const { marks_otio } = await pageModule();
  download('marks.otio', 'application/json', marks_otio([...all.value], words.marksTitle));
}

/** The space bar marks while this place is shown, unless something has the focus that it belongs
 * to. */
export function markBySpace(): () => void {
  const onKey = (event: KeyboardEvent) => {
    const target = event.target instanceof Element ? event.target : undefined;
    const taken = target?.closest('input, textarea, select, button, a, summary') ?? undefined;
    if (event.key !== ' ' || event.repeat || taken !== undefined) return;
    const code = heard.value?.channels.find(({ hearing }) => hearing === 'code');
    const listening = phase.value.is === 'listening' && code !== undefined;
    if (!listening && held.value === undefined) return;
    event.preventDefault();
    void (listening ? addMark(code) : addMarkOfHeld());
  };
  document.addEventListener('keydown', onKey);
  return () => document.removeEventListener('keydown', onKey);
}
