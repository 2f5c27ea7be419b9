// Files that are made: one at a time of each kind, kept while another place is shown.

import { type ReadonlySignal, signal } from '@preact/signals';
import type { JobEvent, JobOrder, MakeProblem, Outcome } from '../protocol/make';
import type { Progress } from '../protocol/messages';
import type { Maker } from './maker';

/** A file that stands whole: on the disk already, or still to be saved from the page. */
export type MadeFile = { bytes: number; address: string | undefined };

export type Phase =
  | { is: 'nothing' }
  | { is: 'writing'; progress: Progress; since: number }
  | { is: 'reading-back'; file: MadeFile; progress: Progress; since: number }
  | { is: 'made'; file: MadeFile; outcome: Outcome }
  /** The file stands whole, but was not read back to its end. */
  | { is: 'unproved'; file: MadeFile; problem: MakeProblem | undefined }
  | { is: 'stopped' }
  | { is: 'failed'; problem: MakeProblem };

export type Job = { name: string; phase: Phase };

type WithoutPlace<Order> = Order extends unknown ? Omit<Order, 'to'> : never;

export function isBusy({ phase }: Job): boolean {
  return phase.is === 'writing' || phase.is === 'reading-back';
}

/** The browser asks before it closes a page on which one of these is at work. */
const atWork = new Set<object>();

/** Says whether something is at work that should not be lost by a closed page. */
export function setAtWork(what: object, works: boolean): void {
  if (works) atWork.add(what);
  else atWork.delete(what);
  window.onbeforeunload = atWork.size > 0 ? (event) => event.preventDefault() : null;
}

/** A file being made. */
export class FileJob {
  private readonly current = signal<Job>({ name: '', phase: { is: 'nothing' } });

  constructor(private readonly maker: Maker) {}

  get job(): ReadonlySignal<Job> {
    return this.current;
  }

  /** Asks where the file shall go, where the browser can save straight to the disk, and makes it.
   * False where somebody thought better of it. */
  async save(order: WithoutPlace<JobOrder>, name: string, ask: Ask): Promise<boolean> {
    const to = await ask(name);
    if (to === 'nowhere') return false;
    forget(this.current.value.phase);
    const empty = { done: 0, total: 0 };
    const saved = to === undefined ? name : to.name;
    this.put(saved, { is: 'writing', progress: empty, since: performance.now() });
    this.maker.make({ ...order, to }, (event) =>
      this.put(saved, after(this.current.value.phase, event)),
    );
    return true;
  }

  stop(): void {
    this.maker.stop();
  }

  private put(name: string, phase: Phase): void {
    this.current.value = { name, phase };
    setAtWork(this, isBusy(this.current.value));
  }
}

/** What an event makes of a phase. */
function after(before: Phase, event: JobEvent): Phase {
  const since = 'since' in before ? before.since : performance.now();
  switch (event.kind) {
    case 'writing':
      return { is: 'writing', progress: event.progress, since };
    case 'written':
      return {
        is: 'reading-back',
        file: madeFile(event.blob, event.bytes),
        progress: { done: 0, total: event.bytes },
        since: performance.now(),
      };
    case 'reading-back':
      return before.is === 'reading-back' ? { ...before, progress: event.progress } : before;
    case 'made':
      return before.is === 'reading-back'
        ? { is: 'made', file: before.file, outcome: event.outcome }
        : before;
    case 'stopped':
      return ended(before, undefined);
    case 'failed':
      return ended(before, event.problem);
    case 'zeros-passed':
      return before;
  }
}

/** A file that was whole stays; of one that was not, nothing is left. */
function ended(before: Phase, problem: MakeProblem | undefined): Phase {
  if (before.is === 'reading-back') return { is: 'unproved', file: before.file, problem };
  return problem === undefined ? { is: 'stopped' } : { is: 'failed', problem };
}

function madeFile(blob: Blob | undefined, bytes: number): MadeFile {
  return { bytes, address: blob === undefined ? undefined : URL.createObjectURL(blob) };
}

/** Lets go of a file that was kept for saving. */
function forget(phase: Phase): void {
  if ('file' in phase && phase.file.address !== undefined) URL.revokeObjectURL(phase.file.address);
}

/** Not in the types yet: only some browsers have them. */
type WithPickers = {
  showDirectoryPicker?: (options: {
    id: string;
    mode: 'readwrite';
  }) => Promise<FileSystemDirectoryHandle>;
  showSaveFilePicker?: (options: {
    suggestedName: string;
    types: { description: string; accept: Record<string, string[]> }[];
  }) => Promise<FileSystemFileHandle>;
};

/** Whether a file can be saved while it is being made. */
export function savesStraight(): boolean {
  return pickers().showSaveFilePicker !== undefined;
}

/** Asks for the file on the disk: nothing where it will be handed over by the page, or `nowhere`
 * where somebody thought better of it. */
export type Ask = (name: string) => Promise<Place>;
type Place = FileSystemFileHandle | 'nowhere' | undefined;

/** A file of the name that somebody gives it. */
export function asNamed(name: string): Promise<Place> {
  return asked(async () =>
    pickers().showSaveFilePicker?.({
      suggestedName: name,
      types: [{ description: 'Broadcast WAV', accept: { 'audio/wav': ['.wav'] } }],
    }),
  );
}

/** A new file in a folder that somebody chooses: nothing that is there is replaced. The browser
 * would empty a file that is chosen to be replaced before the page can look which it is. */
export function inFolder(name: string): Promise<Place> {
  return asked(async () => {
    const folder = await askedFolder();
    return folder === undefined ? undefined : newIn(folder, name);
  });
}

/** Whether there can be a folder into which many files go. */
export function savesIntoFolders(): boolean {
  return pickers().showDirectoryPicker !== undefined;
}

/** The folder that somebody chooses for copies. */
export function chosenFolder(): Promise<FileSystemDirectoryHandle | 'nowhere' | undefined> {
  return asked(askedFolder);
}

async function askedFolder(): Promise<FileSystemDirectoryHandle | undefined> {
  return pickers().showDirectoryPicker?.({ id: 'copies', mode: 'readwrite' });
}

/** A new file in a folder, under the name or one like it that is free. */
export async function newIn(folder: FileSystemDirectoryHandle, name: string) {
  for (let number = 2, free = name; ; number += 1) {
    if (!(await isThere(folder, free))) return folder.getFileHandle(free, { create: true });
    free = name.replace(/(\.[^.]*)?$/, ` ${number}$1`);
  }
}

async function isThere(folder: FileSystemDirectoryHandle, name: string): Promise<boolean> {
  try {
    await folder.getFileHandle(name);
    return true;
  } catch (error) {
    return !(error instanceof DOMException && error.name === 'NotFoundError');
  }
}

function pickers(): WithPickers {
  return globalThis as WithPickers;
}

async function asked<T>(ask: () => Promise<T | undefined>): Promise<T | 'nowhere' | undefined> {
  try {
    return await ask();
  } catch (error) {
    // Frames of other pages, for one, may not open it: the page hands the file over then.
    return error instanceof DOMException && error.name === 'AbortError' ? 'nowhere' : undefined;
  }
}
