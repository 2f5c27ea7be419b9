// The recordings on the page: a queue that a few readers work off, and a sheet for each.

import { computed, type ReadonlySignal, type Signal, signal } from '@preact/signals';
import {
  type CodewordReading,
  type Ending,
  type Problem,
  type Progress,
  type Reading,
  unreachable,
} from '../../protocol/messages';
import { type JobEvent, Reader } from './reader';

export type Phase =
  | { is: 'waiting' }
  | { is: 'reading'; progress: Progress; since: number; reading?: Reading }
  | { is: 'read'; reading: Reading; csv: string; milliseconds: number; ending: Ending }
  | { is: 'failed'; problem: Problem; reading?: Reading };

export type Sheet = {
  readonly id: number;
  /** Undefined until the demo recording has been made. */
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
const chosen = signal<number | undefined>(undefined);

/** The sheet that is shown. */
export const current: ReadonlySignal<Sheet | undefined> = computed(
  () => sheets.value.find((sheet) => sheet.id === chosen.value) ?? sheets.value.at(-1),
);

/** What is known of a sheet's recording at this moment. */
export function readingOf(phase: Phase): Reading | undefined {
  return 'reading' in phase ? phase.reading : undefined;
}

export function show(sheet: Sheet): void {
  chosen.value = sheet.id;
}

/** Puts files into the queue and shows the first of them. */
export function add(files: readonly (File | undefined)[]): void {
  const added = files.map((file): Sheet => {
    ids += 1;
    return { id: ids, file: signal(file), phase: signal<Phase>({ is: 'waiting' }) };
  });
  const [first] = added;
  if (first === undefined) return;
  sheets.value = [...sheets.value, ...added];
  show(first);
  readNext();
}

export function addDemo(): void {
  add([undefined]);
}

/** Reads a sheet's file from the beginning, after those that wait already. */
export function readAgain(sheet: Sheet): void {
  sheet.phase.value = { is: 'waiting' };
  readNext();
}

/** Stops the reading of a sheet at its next block. */
export function stop(sheet: Sheet): void {
  busy.get(sheet)?.stop();
}

/** The codeword nearest to a place; what the worker can't answer counts as none. */
export async function codewordAt(
  sheet: Sheet,
  channel: number,
  second: number,
): Promise<CodewordReading | undefined> {
  const file = sheet.file.peek();
  const codes = readingOf(sheet.phase.peek())?.report.codes;
  const rate = codes?.find((code) => code.channel === channel)?.rate;
  if (file === undefined || rate === undefined) return undefined;
  const answer = await asked.codeword(file, { channel, rate, second });
  return 'codeword' in answer ? answer.codeword : undefined;
}

/** Gives what waits to readers, as far as there are any free. */
function readNext(): void {
  while (busy.size < AT_ONCE) {
    const sheet = sheets.value.find(({ phase }) => phase.value.is === 'waiting');
    if (sheet === undefined) return;
    begin(sheet, idle.pop() ?? new Reader());
  }
}

function begin(sheet: Sheet, reader: Reader): void {
  busy.set(sheet, reader);
  sheet.phase.value = {
    is: 'reading',
    progress: { done: 0, total: 0 },
    since: performance.now(),
  };
  reader.read(sheet.file.value, (event) => {
    const ended = take(sheet, event);
    if (!ended) return;
    busy.delete(sheet);
    idle.push(reader);
    readNext();
  });
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
      sheet.phase.value = { is: 'read', reading, csv, milliseconds: cost.milliseconds, ending };
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
