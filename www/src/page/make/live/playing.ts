// Live code on this page: one run at a time, kept while another place is shown.

import { computed, effect, type ReadonlySignal, signal } from '@preact/signals';
import type { Codeword } from '../../../protocol/live';
import type { Settings } from '../../../protocol/make';
import type { LiveHeard } from '../../../wasm/plumbline';
import { keepAwake, letSleep } from './awake';
import { asEnded, type Because, Ended } from './ended';
import { atOutput, follow } from './frames';
import type { Latency } from './module';
import { ordersFor } from './orders';
import { type From, Run } from './run';

export type Phase =
  | { is: 'still'; ended: Ended | undefined }
  | { is: 'starting' }
  | { is: 'playing'; settings: Settings; from: From; heard: LiveHeard; sampleRate: number };

/** A flash of the screen, and what became of it. */
export type Flash = Codeword & { came: 'not-yet' | 'in-time' | 'too-late' };

/** What is told about the way of the sound, once a second. */
export type Account = { latency: Latency; parted: string };

/** The level with which every run starts, in dBFS: low. */
export const STARTING_LEVEL = -40;
export const LOWEST_LEVEL = -60;
/** Milliseconds between two flashes at least (WCAG 2.2, 2.3.1). */
const REST = 1000;
/** Milliseconds between two accounts. */
const BETWEEN_ACCOUNTS = 1000;

const state = signal<Phase>({ is: 'still', ended: undefined });
const loud = signal(STARTING_LEVEL);
const listed = signal<readonly Flash[]>([]);
const told = signal<Account | undefined>(undefined);
let resting = false;
let run: Run | undefined;
let starting: AbortController | undefined;

export const phase: ReadonlySignal<Phase> = state;

/** In dBFS, of the highest sample. */
export const level: ReadonlySignal<number> = loud;

/** All flashes of this run, the first one first. */
export const flashes: ReadonlySignal<readonly Flash[]> = listed;

export const account: ReadonlySignal<Account | undefined> = told;

/** Whether the screen is to be white now. */
export const flashing: ReadonlySignal<boolean> = computed(() => {
  const last = listed.value.at(-1);
  return last !== undefined && last.sample === atOutput.value?.sample;
});

/** Where the next run starts, and what is heard of it. */
export const from = signal<From>('typed');
export const heard = signal<LiveHeard>('code');

export async function start(settings: Settings): Promise<void> {
  if (state.value.is !== 'still') return;
  state.value = { is: 'starting' };
  listed.value = [];
  starting = new AbortController();
  const wanted = { settings, from: from.value, heard: heard.value };
  try {
    const orders = ordersFor(settings, wanted.heard);
    run = await Run.start(wanted.from, loud.value, orders, { ended, flash }, starting.signal);
    run.setLevel(loud.value);
    state.value = { is: 'playing', ...wanted, sampleRate: run.sampleRate };
    keepAwake();
    follow(run);
  } catch (error) {
    ended(asEnded(error));
  }
}

export function stop(because: Because = 'asked'): void {
  starting?.abort();
  if (state.value.is === 'playing') ended(new Ended(because));
}

/** Sets the code from a clock, once. */
export async function jam(from: Exclude<From, 'typed'>): Promise<void> {
  const { value } = state;
  if (run === undefined || value.is !== 'playing') return;
  try {
    await run.play(from);
    state.value = { ...value, from };
  } catch (error) {
    ended(asEnded(error));
  }
}

export function setLevel(dbfs: number): void {
  loud.value = dbfs;
  run?.setLevel(dbfs);
}

/** Has the screen flash shortly. Not more often than once a second: faster flashes can harm. */
export function askForFlash(): void {
  if (run === undefined || resting) return;
  resting = true;
  setTimeout(() => (resting = false), REST);
  run.flash();
}

function flash({ sample, address }: Codeword): void {
  listed.value = [...listed.value, { sample, address, came: 'not-yet' }];
}

function ended(why: Ended): void {
  if (state.value.is === 'still') return;
  run?.stop();
  run = undefined;
  follow(undefined);
  letSleep();
  told.value = undefined;
  // Whatever is plugged in next, it starts low.
  loud.value = STARTING_LEVEL;
  state.value = { is: 'still', ended: why };
}

/** Puts down whether the screen was white when it was to be. */
effect(() => {
  const now = atOutput.value;
  const last = listed.peek().at(-1);
  if (now === undefined || last?.came !== 'not-yet' || now.sample < last.sample) return;
  const came = now.sample === last.sample ? 'in-time' : 'too-late';
  listed.value = [...listed.peek().slice(0, -1), { ...last, came }];
});

/** What goes on only while code plays. */
effect(() => {
  if (state.value.is !== 'playing') return;
  const accounts = setInterval(() => {
    if (run !== undefined) told.value = { latency: run.latency(), parted: run.parted() };
  }, BETWEEN_ACCOUNTS);
  // The browser asks before it closes the page.
  const ask = (event: Event) => event.preventDefault();
  addEventListener('beforeunload', ask);
  return () => {
    clearInterval(accounts);
    removeEventListener('beforeunload', ask);
  };
});

/** Whatever has the focus. */
document.addEventListener('keydown', ({ key }) => {
  if (key === 'Escape') stop();
});
