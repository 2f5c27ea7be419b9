// The recordings on the page: a queue that a few readers work off, and a sheet for each.

import { computed, type ReadonlySignal, type Signal, signal } from '@preact/signals';
import {
  type CodewordReading,
  type Demo,
  type Ending,
  type Problem,
  type Progress,
  type Reading,
  type Summary,
  unreachable,
} from '../../protocol/messages';
import type { Incoming } from './incoming';
import { keepReading, keyOf, type KeptReading, type KeptRecording, recallReading } from './kept';
import { type JobEvent, Reader } from './reader';

export type Phase =
  | { is: 'waiting' }
  /** Taken out of the queue, or known from an earlier visit without its file or reading. */
  | { is: 'aside' }
  /** Brought by a saved shoot: its place is known, its sound is not at hand. */
  | { is: 'known'; summary: Summary }
  | { is: 'reading'; progress: Progress; since: number; reading?: Reading }
  | { is: 'read'; reading: Reading; csv: string; took: Took; ending: Ending }
  | { is: 'failed'; problem: Problem; reading?: Reading };

/** How long the reading took; none where it was kept from before. */
export type Took = { milliseconds: number } | 'kept';

export type Sheet = {
  readonly id: number;
  /** What it is kept under; what is made up is not. */
  readonly key: string | undefined;
  /** The file's name; empty until the demo recording has been made. */
  readonly name: string;
  readonly folder: string;
  readonly size: number;
  /** Which made-up recording it is, if it is one. */
  readonly demo: Demo | undefined;
  /** Undefined until a made-up recording has been made, and after a new start of the page. */
  readonly file: Signal<File | undefined>;
  readonly phase: Signal<Phase>;
};

/** How many recordings are read at once. Each costs a worker and a module of its own. */
const AT_ONCE = Math.min(4, Math.max(1, navigator.hardwareConcurrency));

/** Who reads which sheet: a reader that breaks takes no other recording with it. */
const busy = new Map<Sheet, Reader>();
/** Readers whose workers wait for the next recording. */
const idle: Reader[] = [];
/** Answers for codewords alone, so that no question waits for a long reading or breaks one. */
const asked = new Reader();
let ids = 0;

export const sheets = signal<readonly Sheet[]>([]);
/** Counts how often readings came to their end: what only the ends concern looks at this. */
export const ended = signal(0);
/** Milliseconds within which ends are told as one: two hundred files end one after another. */
const TOGETHER = 100;
let telling = false;

function tellEnded(): void {
  if (telling) return;
  telling = true;
  setTimeout(() => {
    telling = false;
    ended.value += 1;
  }, TOGETHER);
}

const PLACE = '#read';
// Numbers of an earlier visit say nothing now.
if (idInAddress() !== undefined) history.replaceState(null, '', PLACE);
const chosen = signal<number | undefined>(undefined);
addEventListener('hashchange', () => {
  chosen.value = idInAddress();
});

/** The sheet that is shown; none where all are. */
export const current: ReadonlySignal<Sheet | undefined> = computed(() => {
  const all = sheets.value;
  return all.find(({ id }) => id === chosen.value) ?? (all.length === 1 ? all[0] : undefined);
});

function idInAddress(): number | undefined {
  const [place, query] = location.hash.split('?', 2);
  const id = new URLSearchParams(query).get('recording');
  return place !== PLACE || id === null ? undefined : Number(id);
}

/** What is known of a sheet's recording at this moment. */
export function readingOf(phase: Phase): Reading | undefined {
  return 'reading' in phase ? phase.reading : undefined;
}

/** What a shoot needs to know of a sheet's recording, once it has been read. */
export function summaryOf(phase: Phase): Summary | undefined {
  switch (phase.is) {
    case 'known':
      return phase.summary;
    case 'read':
      return phase.reading.summary;
    case 'failed':
      return phase.reading?.summary;
    default:
      return undefined;
  }
}

/** The name of a sheet's recording; undefined until the demo recording has been made. */
export function nameOf(sheet: Sheet): string | undefined {
  return sheet.name !== '' ? sheet.name : sheet.file.value?.name;
}

/** Shows a sheet. The browser's own way back leads to where one was. */
export function show(sheet: Sheet): void {
  location.hash = `${PLACE}?recording=${sheet.id}`;
}

/** Shows all recordings. */
export function showAll(): void {
  if (chosen.value !== undefined) location.hash = PLACE;
}

/** Puts recordings into the queue. One that is on the page already gets its file back. */
export function add(incoming: readonly Incoming[]): void {
  const added = incoming.flatMap(({ file, folder }): Sheet[] => {
    const key = keyOf(file, folder);
    const known = sheets.value.find((sheet) => sheet.key === key);
    if (known === undefined)
      return [sheetOf({ key, name: file.name, folder, size: file.size, file })];
    known.file.value = file;
    const { is } = known.phase.value;
    if (is === 'aside' || is === 'known') known.phase.value = { is: 'waiting' };
    return [];
  });
  put(added);
}

/** Puts a recording that is made up into the queue. */
export function addDemo(): void {
  put([sheetOf({ ...MADE_UP, demo: 'alone' })]);
}

/** Puts the recordings of a made-up day into the queue, by their folders and names. */
export function addDemoDay(day: readonly { folder: string; name: string }[]): void {
  put(day.map((place, demo) => sheetOf({ ...MADE_UP, ...place, demo })));
}

const MADE_UP = { key: undefined, name: '', folder: '', size: 0, file: undefined };

/** Puts back what an earlier visit or a saved shoot knew of, with the readings that were kept. */
export async function restore(known: readonly KeptRecording[]): Promise<void> {
  const kept = await Promise.all(known.map(({ key }) => recallReading(key)));
  const back = known.flatMap(({ summary, ...about }, index): Sheet[] => {
    if (sheets.value.some(({ key }) => key === about.key)) return [];
    const sheet = sheetOf({ ...about, file: undefined });
    const reading = kept[index];
    if (reading !== undefined) sheet.phase.value = fromKept(reading);
    else sheet.phase.value = summary === undefined ? { is: 'aside' } : { is: 'known', summary };
    return [sheet];
  });
  put(back);
  tellEnded();
}

type About = Omit<Sheet, 'id' | 'file' | 'phase' | 'demo'> & {
  file: File | undefined;
  demo?: Demo;
};

function sheetOf(about: About): Sheet {
  ids += 1;
  const phase = signal<Phase>({ is: 'waiting' });
  return { demo: undefined, ...about, id: ids, file: signal(about.file), phase };
}

function put(added: readonly Sheet[]): void {
  if (added.length > 0) {
    sheets.value = [...sheets.value, ...added];
    showAll();
  }
  readNext();
}

/** Takes a recording off the page. */
export function remove(sheet: Sheet): void {
  stop(sheet);
  sheets.value = sheets.value.filter((other) => other !== sheet);
  showAll();
  tellEnded();
}

/** Takes all recordings off the page. */
export function removeAll(): void {
  stopAll();
  sheets.value = [];
  showAll();
  tellEnded();
}

/** Puts recordings back that were taken off the page, before those that came since. */
export function putBack(back: readonly Sheet[]): void {
  sheets.value = [...back, ...sheets.value];
  tellEnded();
}

/** Reads a sheet's file from the beginning, after those that wait already. */
export function readAgain(sheet: Sheet): void {
  sheet.phase.value = { is: 'waiting' };
  readNext();
}

/** Stops the reading of a sheet at its next block, or takes it out of the queue. */
export function stop(sheet: Sheet): void {
  if (sheet.phase.value.is === 'waiting') sheet.phase.value = { is: 'aside' };
  busy.get(sheet)?.stop();
}

/** Stops what is read and takes out what waits. */
export function stopAll(): void {
  for (const sheet of sheets.value) stop(sheet);
}

/** Reads what was taken out, where its file is at hand. */
export function goOn(): void {
  for (const { phase, file } of sheets.value) {
    if (phase.value.is === 'aside' && file.value !== undefined) phase.value = { is: 'waiting' };
  }
  readNext();
}

/** The codeword nearest to a place, or why there is none; what else fails counts as none. */
export async function codewordAt(
  sheet: Sheet,
  channel: number,
  second: number,
): Promise<{ codeword?: CodewordReading | undefined; refused?: string }> {
  const file = sheet.file.peek();
  const codes = readingOf(sheet.phase.peek())?.report.codes;
  const rate = codes?.find((code) => code.channel === channel)?.rate;
  if (file === undefined || rate === undefined) return {};
  const answer = await asked.codeword(file, { channel, rate, second });
  return 'problem' in answer ? {} : answer;
}

/** Loads a reader before there is anything to read: the first answer comes the sooner. */
export function warm(): void {
  if (busy.size > 0 || idle.length > 0) return;
  const reader = new Reader();
  reader.warm();
  idle.push(reader);
}

/** Gives what waits to readers, as far as there are any free. */
function readNext(): void {
  while (busy.size < AT_ONCE) {
    const sheet = sheets.value.find(({ phase }) => phase.value.is === 'waiting');
    if (sheet === undefined) return;
    void begin(sheet, idle.pop() ?? new Reader());
  }
}

async function begin(sheet: Sheet, reader: Reader): Promise<void> {
  busy.set(sheet, reader);
  const progress: Progress = { done: 0, total: sheet.size };
  sheet.phase.value = { is: 'reading', progress, since: performance.now() };
  const kept = sheet.key === undefined ? undefined : await recallReading(sheet.key);
  if (kept !== undefined) {
    sheet.phase.value = fromKept(kept);
    release(sheet, reader);
    return;
  }
  reader.read(sheet.file.value ?? sheet.demo ?? 'alone', (event) => {
    if (take(sheet, event)) release(sheet, reader);
  });
}

function fromKept({ reading, csv }: KeptReading): Phase {
  return { is: 'read', reading, csv, took: 'kept', ending: { is: 'whole' } };
}

function release(sheet: Sheet, reader: Reader): void {
  busy.delete(sheet);
  idle.push(reader);
  tellEnded();
  readNext();
}

/** Carries what the worker says over to the sheet; true when that was the last of it. */
function take(sheet: Sheet, event: JobEvent): boolean {
  const before = sheet.phase.value;
  switch (event.kind) {
    case 'made':
      sheet.file.value = event.file;
      return false;
    case 'progress': {
      const since = before.is === 'reading' ? before.since : performance.now();
      const { progress, reading } = event;
      sheet.phase.value = { is: 'reading', progress, since, reading };
      return false;
    }
    case 'read': {
      const { reading, csv, cost, ending } = event;
      const took = { milliseconds: cost.milliseconds };
      sheet.phase.value = { is: 'read', reading, csv, took, ending };
      if (ending.is === 'whole' && sheet.key !== undefined) {
        void keepReading(sheet.key, { reading, csv });
      }
      return true;
    }
    case 'failed': {
      const known = readingOf(before);
      const { problem } = event;
      sheet.phase.value =
        known === undefined ? { is: 'failed', problem } : { is: 'failed', problem, reading: known };
      return true;
    }
    default:
      return unreachable(event);
  }
}
