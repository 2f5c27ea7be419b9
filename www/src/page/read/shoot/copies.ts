// Stamped copies of many recordings, one after the other, into one folder.

import { computed, signal } from '@preact/signals';
import type { JobEvent, MakeProblem, Outcome, StampOrder } from '../../../protocol/make';
import type { Progress, Shoot } from '../../../protocol/messages';
import { chosenFolder, newIn, setAtWork } from '../../file-job';
import { Maker } from '../../maker';
import { sheets } from '../sheets';
import { keyOf, shoot } from './clock';

/** A copy that can be made: of which file, and what is stamped. */
type Copy = { file: File; order: StampOrder; coded: readonly number[] };

/** A recording of which no copy can be made, and why not; no reason where its file is missing. */
type LeftOut = { file: string; why: string | undefined };

/** What came of one copy, under the name that it has in the folder. */
export type Ended = { name: string } & (
  | { is: 'made'; outcome: Outcome }
  /** It stands whole, but was not read back to its end. */
  | { is: 'unproved'; problem: MakeProblem | undefined }
  | { is: 'failed'; problem: MakeProblem }
);

export type Copies = { ended: readonly Ended[]; all: number } & (
  | { is: 'working'; name: string; progress: Progress; since: number }
  | { is: 'ended'; stopped: boolean }
);

/** What is being made, or what came of it last. */
export const copies = signal<Copies | undefined>(undefined);

const maker = new Maker();
let stopping = false;

/** Of which recordings copies can be made, and of which not. */
export const candidates = computed((): { copies: Copy[]; leftOut: LeftOut[] } => {
  const rows = new Map(shoot.value?.recordings.map((row) => [row.key, row]));
  const all = { copies: [] as Copy[], leftOut: [] as LeftOut[] };
  for (const sheet of sheets.value) {
    const row = rows.get(keyOf(sheet));
    const file = sheet.file.value;
    if (row === undefined) continue;
    const copy = copyOf(row, file);
    if ('order' in copy) all.copies.push(copy);
    else all.leftOut.push(copy);
  }
  return all;
});

type Row = Shoot['recordings'][number];

function copyOf({ copy, file: name }: Row, file: File | undefined): Copy | LeftOut {
  if (copy.is === 'impossible') return { file: name, why: copy.why };
  if (file === undefined) return { file: name, why: undefined };
  return { file, order: copy.order, coded: copy.coded };
}

export type Channels = 'all' | 'without-code';

/** Asks for the folder once, and makes all copies in it. What fails is told, and the rest goes on. */
export async function makeCopies(channels: Channels): Promise<void> {
  if (copies.value?.is === 'working') return;
  const wanted = candidates.value.copies;
  const folder = await chosenFolder();
  if (folder === undefined || folder === 'nowhere') return;
  stopping = false;
  setAtWork(maker, true);
  const since = performance.now();
  // Each byte is written once and read back once.
  const total = 2 * wanted.reduce((sum, { file }) => sum + file.size, 0);
  let [before, ended]: [number, Ended[]] = [0, []];
  for (const copy of wanted) {
    if (stopping) break;
    const say = (name: string, done: number) => {
      const progress = { done: Math.min(before + done, total), total };
      copies.value = { is: 'working', name, progress, since, ended, all: wanted.length };
    };
    const outcome = await makeOne(copy, channels, folder, say);
    if (outcome !== undefined) ended = [...ended, outcome];
    before += 2 * copy.file.size;
  }
  setAtWork(maker, false);
  copies.value = { is: 'ended', stopped: stopping, ended, all: wanted.length };
}

export function stopCopies(): void {
  stopping = true;
  maker.stop();
}

type Say = (name: string, done: number) => void;

/** Makes one copy and reads it back; nothing where it was stopped before it was there. */
async function makeOne(
  { file, order, coded }: Copy,
  channels: Channels,
  folder: FileSystemDirectoryHandle,
  say: Say,
): Promise<Ended | undefined> {
  const wish = `${file.name.replace(/\.[^.]*$/, '')}-stamped.wav`;
  say(wish, 0);
  let to: FileSystemFileHandle;
  try {
    to = await newIn(folder, wish);
  } catch (error) {
    const detail = error instanceof Error ? error.message : String(error);
    return { name: wish, is: 'failed', problem: { code: 'interrupted', detail } };
  }
  const leaveOut = channels === 'all' ? [] : [...coded];
  const stamped: StampOrder = { ...order, leave_out: leaveOut };
  const { name } = to;
  say(name, 0);
  return new Promise((end) => {
    let isWhole = false;
    const hear = (event: JobEvent) => {
      if (event.kind === 'writing') say(name, partOf(event.progress) * file.size);
      if (event.kind === 'written') isWhole = true;
      if (event.kind === 'reading-back') say(name, (1 + partOf(event.progress)) * file.size);
      if (event.kind === 'made') end({ name, is: 'made', outcome: event.outcome });
      if (event.kind === 'stopped') end(isWhole ? { name, ...UNPROVED } : undefined);
      if (event.kind === 'failed') {
        const { problem } = event;
        end({ name, is: isWhole ? 'unproved' : 'failed', problem });
      }
    };
    maker.make({ kind: 'stamp', file, order: stamped, to }, hear);
  });
}

const UNPROVED = { is: 'unproved', problem: undefined } as const;

function partOf({ done, total }: Progress): number {
  return total === 0 ? 0 : done / total;
}
