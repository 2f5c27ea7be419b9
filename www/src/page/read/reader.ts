// The page's side of one worker: one recording at a time, and a new worker after a crash.

import {
  type CodewordReading,
  type Demo,
  type FromWorker,
  type Place,
  type Problem,
  type ToWorker,
  unreachable,
} from '../../protocol/messages';

/** What a job says on its way; the last one is `read` or `failed`. */
export type JobEvent = Extract<FromWorker, { kind: 'made' | 'progress' | 'read' | 'failed' }>;

type CodewordAnswer = { codeword: CodewordReading | undefined } | { problem: Problem };

export class Reader {
  private worker: Worker | undefined;
  private listener: ((event: JobEvent) => void) | undefined;
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
    this.listener = listener;
    const { job } = this;
    this.send(
      from instanceof File ? { kind: 'read', job, file: from } : { kind: 'demo', job, demo: from },
    );
  }

  /** Asks the job to stop at its next block. */
  stop(): void {
    this.send({ kind: 'stop', job: this.job });
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
        return this.tell(message);
      case 'bytes-passed':
        return;
      default:
        unreachable(message);
    }
  }

  private tell(event: JobEvent): void {
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
