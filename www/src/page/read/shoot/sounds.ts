// Lining up by sound: one pair at a time, in a worker of its own.

import { signal } from '@preact/signals';
import type { Progress, SoundLine, SoundOutcome } from '../../../protocol/messages';
import { problemInWords } from '../../../text/en';
import { type LinedUp, Reader } from '../reader';
import { readingOf, type Sheet } from '../sheets';

/** How recordings lie by their sound, under their keys. */
export const sounds = signal<Readonly<Record<string, SoundLine[]>>>({});

/** What is being lined up, and what came of it last. */
export type Lining = { key: string; beside: string } & (
  { is: 'working'; progress: Progress; since: number } | { is: 'ended'; outcome: SoundOutcome }
);

export const lining = signal<Lining | undefined>(undefined);

const reader = new Reader();

/** A recording's file and the channels that have code, where both are known. */
function fileOf(sheet: Sheet): { file: File; coded: number[] } | undefined {
  const file = sheet.file.value;
  const report = readingOf(sheet.phase.value)?.report;
  if (file === undefined || report === undefined) return undefined;
  return { file, coded: report.codes.map(({ channel }) => channel) };
}

/** Whether a recording's sound can be looked at. */
export function atHand(sheet: Sheet | undefined): boolean {
  return sheet !== undefined && fileOf(sheet) !== undefined;
}

/** Whether others can be lined up with it: it has code, and its file is at hand. */
export function holdsOthers(sheet: Sheet): boolean {
  return (fileOf(sheet)?.coded.length ?? 0) > 0;
}

type Side = { key: string; sheet: Sheet };

/** Looks for the place of `second` beside `first`. */
export async function lineUp(first: Side, second: Side): Promise<void> {
  const [one, other] = [fileOf(first.sheet), fileOf(second.sheet)];
  if (one === undefined || other === undefined || lining.value?.is === 'working') return;
  const pair = { key: second.key, beside: first.key };
  const since = performance.now();
  const say = (progress: Progress) => {
    lining.value = { ...pair, is: 'working', progress, since };
  };
  say({ done: 0, total: 1 });
  const order = { beside: first.key, first: one, second: other };
  const outcome = inWords(await reader.lineUp(order, say));
  lining.value = { ...pair, is: 'ended', outcome };
  if (outcome.is !== 'found') return;
  const kept = (sounds.value[second.key] ?? []).filter(({ beside }) => beside !== first.key);
  sounds.value = { ...sounds.value, [second.key]: [...kept, outcome.line] };
}

function inWords(outcome: LinedUp): SoundOutcome {
  if (outcome.is !== 'failed') return outcome;
  const { text, remedy } = problemInWords(outcome.problem);
  return { is: 'refused', text, remedy };
}

export function stop(): void {
  reader.stop();
}

/** Forgets how a recording lies by its sound. */
export function takeBack(key: string): void {
  const { [key]: _, ...others } = sounds.value;
  sounds.value = others;
  if (lining.value?.key === key && lining.value.is === 'ended') lining.value = undefined;
}

/** Puts back what a saved shoot knows. */
export function recallSounds(entries: readonly { key: string; sounds?: SoundLine[] }[]): void {
  const known = entries.flatMap(({ key, sounds: lines }) => (lines ? [[key, lines] as const] : []));
  sounds.value = { ...sounds.value, ...Object.fromEntries(known) };
}
