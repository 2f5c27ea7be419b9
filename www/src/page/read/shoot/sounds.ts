// Lining up by sound: one pair after the other, in a worker of its own.

import { signal } from '@preact/signals';
import type {
  Progress,
  SoundFile,
  SoundLine,
  SoundOutcome,
  SoundPrior,
} from '../../../protocol/messages';
import { problemInWords } from '../../../text/en';
import { withoutSound } from '../own-code';
import { type LinedUp, Reader } from '../reader';
import { readingOf, type Sheet } from '../sheets';
import { change, sounds } from './changes';

/** What is being lined up, and what came of it last. */
export type Lining = { key: string } & (
  | { is: 'working'; beside: string; number: number; of: number; progress: Progress; since: number }
  /** What came of one pair. */
  | { is: 'ended'; beside: string; outcome: SoundOutcome }
  /** What came of looking in many: beside how many of them it was heard. */
  | { is: 'searched'; heard: number; of: number; stopped: boolean }
);

export const lining = signal<Lining | undefined>(undefined);

/** A recording that others are lined up with needs no more than so many of them. */
const ENOUGH = 2;

const reader = new Reader();
let stopping = false;

/** A recording on the page, under its key. */
export type Side = { key: string; sheet: Sheet };

/** A recording's file and the channels that have code, where both are known. */
function fileOf({ key, sheet }: Side): SoundFile | undefined {
  const file = sheet.file.value;
  const report = readingOf(sheet.phase.value)?.report;
  if (file === undefined || report === undefined) return undefined;
  return { key, file, coded: withoutSound(report) };
}

/** Whether a recording's sound can be looked at. */
export function atHand(side: Side): boolean {
  return fileOf(side) !== undefined;
}

/** Whether others can be lined up with it: it has code, and its file is at hand. */
export function holdsOthers(side: Side): boolean {
  return (fileOf(side)?.coded.length ?? 0) > 0;
}

export function isListening(): boolean {
  return lining.value?.is === 'working';
}

/** Looks for the place of `second` beside `first`, near a rough start where there is one. */
export async function lineUp(first: Side, second: Side, prior?: SoundPrior): Promise<void> {
  if (isListening()) return;
  stopping = false;
  const outcome = await compared(first, second, prior, { number: 1, of: 1, since: now() });
  if (outcome === undefined) return;
  lining.value = { key: second.key, beside: first.key, is: 'ended', outcome };
  if (outcome.is === 'found') keep(second.key, [outcome.line]);
}

/** Looks for a recording beside each of the others in turn, until enough have heard the same. */
export async function lookBeside(others: readonly Side[], second: Side): Promise<void> {
  if (isListening()) return;
  stopping = false;
  await search(others, second, now());
}

/** Looks for several, one after the other. */
export async function lookForAll(
  wanted: readonly { side: Side; others: readonly Side[] }[],
): Promise<void> {
  if (isListening()) return;
  stopping = false;
  for (const { side, others } of wanted) {
    if (stopping) return;
    await search(others, side, now());
  }
}

async function search(others: readonly Side[], second: Side, since: number): Promise<void> {
  const found: SoundLine[] = [];
  let asked = 0;
  for (const first of others) {
    if (stopping || found.length >= ENOUGH) break;
    const place = { number: asked + 1, of: others.length, since };
    const outcome = await compared(first, second, undefined, place);
    if (outcome?.is === 'stopped') break;
    if (outcome?.is === 'found') found.push(outcome.line);
    asked += 1;
  }
  const { key } = second;
  lining.value = { key, is: 'searched', heard: found.length, of: asked, stopped: stopping };
  if (found.length > 0) keep(key, found);
}

type Place = { number: number; of: number; since: number };

/** What comes of one pair, told on its way; nothing where a file is not at hand. */
async function compared(
  first: Side,
  second: Side,
  prior: SoundPrior | undefined,
  place: Place,
): Promise<SoundOutcome | undefined> {
  const [one, other] = [fileOf(first), fileOf(second)];
  if (one === undefined || other === undefined) return undefined;
  const pair = { key: second.key, beside: first.key, ...place };
  const say = ({ done, total }: Progress) => {
    // Each pair is as much as any other: how long a recording is, is known once it is read.
    const part = total === 0 ? 0 : done / total;
    const progress = { done: place.number - 1 + part, total: place.of };
    lining.value = { ...pair, is: 'working', progress };
  };
  say({ done: 0, total: 1 });
  return inWords(await reader.lineUp({ beside: first.key, first: one, second: other, prior }, say));
}

/** Keeps how a recording lies beside others, as one change. */
function keep(key: string, lines: readonly SoundLine[]): void {
  const asked = lines.map(({ beside }) => beside);
  const kept = (sounds.value[key] ?? []).filter(({ beside }) => !asked.includes(beside));
  change({ sounds: { ...sounds.value, [key]: [...kept, ...lines] } });
}

function inWords(outcome: LinedUp): SoundOutcome {
  if (outcome.is !== 'failed') return outcome;
  const { text, remedy } = problemInWords(outcome.problem);
  return { is: 'refused', text, remedy };
}

function now(): number {
  return performance.now();
}

export function stop(): void {
  stopping = true;
  reader.stopLiningUp();
}

/** Forgets how a recording lies by its sound. */
export function takeBack(key: string): void {
  const { [key]: _, ...others } = sounds.value;
  change({ sounds: others });
  if (lining.value?.key === key && lining.value.is !== 'working') lining.value = undefined;
}
