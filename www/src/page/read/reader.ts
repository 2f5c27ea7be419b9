// The page's side of one worker: one recording at a time, and a new worker after a crash.

import {
  type CodewordReading,
  type Demo,
  type FromWorker,
  type Place,
  type Problem,
  type Progress,
  type SoundOrder,
  type SoundOutcome,
  type ToWorker,
  unreachable,
} from '../../protocol/messages';

/** What a job says on its way; the last one is `read` or `failed`. */
export type JobEvent = Extract<FromWorker, { kind: 'made' | 'progress' | 'read' | 'failed' }>;

/** What a job of lining up says on its way; the last one is `by-sound` or `failed`. */
type SoundEvent = Extract<FromWorker, { kind: 'listening' | 'by-sound' | 'failed' }>;

/** What came of lining up two recordings by their sound. */
export type LinedUp = SoundOutcome | { is: 'failed'; problem: Problem };

type CodewordAnswer =
  { codeword: CodewordReading | undefined } | { refused: string } | { problem: Problem };

/** Milliseconds after which a worker that does not hear is ended. */
const PATIENCE = 500;

export class Reader {
  private worker: Worker | undefined;
  private listener: ((event: JobEvent | SoundEvent) => void) | undefined;
  private job = 0;
  private request = 0;
  private readonly asked = new Map<number, (answer: CodewordAnswer) => void>();

  /** Loads what reads, so that the first recording need not wait for it. */
  warm(): void {
    this.worker ??= this.start();
  }

  /** Reads a file, or a recording that is made up. */
  read(from: File | Demo, listener: (event: JobEvent) => void): void {
    this.job += 1;
    this.listener = (event) => {
      if (event.kind !== 'listening' && event.kind !== 'by-sound') listener(event);
    };
    const { job } = this;
    this.send(
      from instanceof File ? { kind: 'read', job, file: from } : { kind: 'demo', job, demo: from },
    );
  }

  /** Lines up two recordings by their sound, and says how far that is. */
  lineUp(order: SoundOrder, say: (progress: Progress) => void): Promise<LinedUp> {
    this.job += 1;
    const { job } = this;
    return new Promise((end) => {
      this.listener = (event) => {
        if (event.kind === 'listening') return say(event.progress);
        this.listener = undefined;
        if (event.kind === 'by-sound') end(event.outcome);
        if (event.kind === 'failed') end({ is: 'failed', problem: event.problem });
      };
      this.send({ kind: 'by-sound', job, ...order });
    });
  }

  /** Asks the job to stop at its next block. */
  stop(): void {
    this.send({ kind: 'stop', job: this.job });
  }

  /** Stops lining up: at its next block, or with its worker, which hears nothing while it compares. */
  stopLiningUp(): void {
    this.stop();
    const { job } = this;
    setTimeout(() => {
      if (this.job !== job || this.listener === undefined) return;
      this.worker?.terminate();
      this.worker = undefined;
      this.tell({ kind: 'by-sound', job, outcome: { is: 'stopped' } });
    }, PATIENCE);
  }

  /** The codeword nearest to a place of a file. */
  codeword(file: File, place: Place): Promise<CodewordAnswer> {
    this.request += 1;
    const { request } = this;
    return new Promise((resolve) => {
      this.asked.set(request, resolve);
      this.send({ kind: 'codeword', request, file, place });
    });
  }

  private send(message: ToWorker): void {
    this.worker ??= this.start();
    this.worker.postMessage(message);
  }

  private start(): Worker {
    const worker = new Worker(new URL('../../worker/worker.ts', import.meta.url), {
      type: 'module',
    });
    worker.addEventListener('message', (event: MessageEvent<FromWorker>) => this.hear(event.data));
    worker.addEventListener('error', (event) => {
      event.preventDefault();
      this.crashed(event.message || 'the worker ended');
    });
    return worker;
  }

  private hear(message: FromWorker): void {
    switch (message.kind) {
      case 'codeword':
        return this.answer(message.request, { codeword: message.codeword });
      case 'codeword-refused':
        return this.answer(message.request, { refused: message.why });
      case 'codeword-failed':
        this.answer(message.request, { problem: message.problem });
        if (message.problem.code === 'crashed') this.crashed(message.problem.detail);
        return;
      case 'failed':
        if (message.problem.code === 'crashed') return this.crashed(message.problem.detail);
        return this.tell(message);
      case 'made':
      case 'progress':
      case 'read':
      case 'listening':
      case 'by-sound':
        return this.tell(message);
      case 'bytes-passed':
        return;
      default:
        unreachable(message);
    }
  }

  private tell(event: JobEvent | SoundEvent): void {
    if (event.job === this.job) this.listener?.(event);
  }

  private answer(request: number, answer: CodewordAnswer): void {
    this.asked.get(request)?.(answer);
    this.asked.delete(request);
  }

  /** After a trap the module must not be used again: everything that waits for it has failed. */
  private crashed(detail: string): void {
    this.worker?.terminate();
    this.worker = undefined;
    const problem: Problem = { code: 'crashed', detail };
    for (const request of [...this.asked.keys()]) this.answer(request, { problem });
    this.tell({ kind: 'failed', job: this.job, problem });
  }
}
