// Making a file of a tone, and reading it back.

import type { JobEvent, MakingCost, Settings } from '../protocol/make';
import { type InitOutput, Making, ReadingBack } from '../wasm/plumbline';
import { Accounts } from './accounts';
import { bytesOf } from './bytes';
import { inBrowser, onDisk, type Sink } from './sink';

/** How many bytes the browser is handed at a time. */
const PIECE = 4 * 1024 * 1024;

/** Fills a piece of the file, and says how many bytes of it are filled: none at the end. */
export type Fill = (piece: Uint8Array<ArrayBuffer>) => number | Promise<number>;

/** Where the file goes: to the disk, or to the page where the browser can't save straight there. */
export type Place = FileSystemFileHandle | undefined;

/** Somebody asked for an end. */
export class Stopped extends Error {}

/** A file being made or passed on: says how far it is, and may be stopped. */
export class Job {
  private stopping = false;

  constructor(
    readonly id: number,
    readonly post: (event: JobEvent) => void,
    private readonly module: Promise<InitOutput>,
  ) {}

  stop(): void {
    this.stopping = true;
  }

  throwIfStopped(): void {
    if (this.stopping) throw new Stopped();
  }

  async cost(begun: number, written: number): Promise<MakingCost> {
    const { memory } = await this.module;
    return {
      writing: written - begun,
      readingBack: performance.now() - written,
      memory: memory.buffer.byteLength,
    };
  }
}

export async function make(job: Job, settings: Settings, to: Place): Promise<void> {
  const begun = performance.now();
  const making = Making.open(settings);
  const file = await write(job, making.total_bytes, to, (piece) => making.fill(piece)).finally(() =>
    making.free(),
  );
  const written = performance.now();
  const reading = ReadingBack.open(settings);
  await readBack(job, file, (block) => reading.push(block));
  const outcome = reading.finish();
  job.post({ kind: 'made', job: job.id, outcome, cost: await job.cost(begun, written) });
}

/** As many zero bytes on the same way: what the way costs alone. */
export async function passZeros(job: Job, bytes: number, to: Place): Promise<void> {
  const begun = performance.now();
  let left = bytes;
  await write(job, bytes, to, (piece) => {
    const count = Math.min(left, piece.length);
    left -= count;
    return count;
  });
  const cost = await job.cost(begun, performance.now());
  job.post({ kind: 'zeros-passed', job: job.id, cost });
}

/** The whole file, once the last piece has arrived; after any failure, none of it is left. */
export async function write(job: Job, total: number, to: Place, fill: Fill): Promise<Blob> {
  const sink = to === undefined ? await inBrowser() : await onDisk(to);
  const accounts = new Accounts(total, (progress) =>
    job.post({ kind: 'writing', job: job.id, progress }),
  );
  try {
    await writePieces(job, sink, fill, accounts);
    const file = await sink.close();
    const blob = to === undefined ? file : undefined;
    job.post({ kind: 'written', job: job.id, blob, bytes: file.size });
    return file;
  } catch (error) {
    await sink.abort();
    throw error;
  }
}

/** The browser takes one piece while the next is being made. */
async function writePieces(job: Job, sink: Sink, fill: Fill, accounts: Accounts): Promise<void> {
  let [piece, other] = [new Uint8Array(PIECE), new Uint8Array(PIECE)];
  let taken: Promise<void> = Promise.resolve();
  for (;;) {
    const count = await fill(piece);
    await taken;
    job.throwIfStopped();
    if (count === 0) return;
    taken = sink.write(piece.subarray(0, count));
    await accounts.after(count);
    [piece, other] = [other, piece];
  }
}

/** Reads a file again from where it was written. */
export async function readBack(
  job: Job,
  file: Blob,
  push: (block: Uint8Array) => void,
): Promise<void> {
  const accounts = new Accounts(file.size, (progress) =>
    job.post({ kind: 'reading-back', job: job.id, progress }),
  );
  for await (const block of bytesOf(file, [0, file.size])) {
    push(block);
    await accounts.after(block.length);
    job.throwIfStopped();
  }
}
