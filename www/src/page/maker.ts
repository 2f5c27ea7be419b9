// The page's side of a worker that makes files, and a new worker after a crash.

import type { Answer, FromMaker, JobEvent, JobOrder, MakeProblem, ToMaker } from '../protocol/make';

/** What ends a job. */
const LAST: readonly JobEvent['kind'][] = ['made', 'stopped', 'failed', 'zeros-passed'];

type WithoutRequest<Question> = Question extends unknown ? Omit<Question, 'request'> : never;
type Question = WithoutRequest<Extract<ToMaker, { request: number }>>;

export class Maker {
  private worker: Worker | undefined;
  private request = 0;
  private job = 0;
  private readonly asked = new Map<number, (answer: Answer) => void>();
  private listener: ((event: JobEvent) => void) | undefined;

  /** Asks for something that is answered at once; the answer may be that it failed. */
  ask(question: Question): Promise<Answer> {
    this.request += 1;
    const { request } = this;
    return new Promise((resolve) => {
      this.asked.set(request, resolve);
      this.send({ ...question, request });
    });
  }

  /** Makes a file; there is one job at a time. */
  make(order: JobOrder, listener: (event: JobEvent) => void): void {
    this.job += 1;
    this.listener = listener;
    this.send({ ...order, job: this.job });
  }

  /** Asks the job to stop at its next piece. */
  stop(): void {
    this.send({ kind: 'stop', job: this.job });
  }

  private send(message: ToMaker): void {
    this.worker ??= this.start();
    this.worker.postMessage(message);
  }

  private start(): Worker {
    const worker = new Worker(new URL('../worker/maker.ts', import.meta.url), {
      type: 'module',
    });
    worker.addEventListener('message', (event: MessageEvent<FromMaker>) => this.hear(event.data));
    worker.addEventListener('error', (event) => {
      event.preventDefault();
      this.crashed(event.message || 'the worker ended');
    });
    return worker;
  }

  private hear(message: FromMaker): void {
    const crashed =
      (message.kind === 'failed' || message.kind === 'request-failed') &&
      message.problem.code === 'crashed';
    if (crashed) this.crashed(message.problem.detail);
    else if ('request' in message) this.answer(message);
    else if (message.job === this.job) this.tell(message);
  }

  private answer(answer: Answer): void {
    this.asked.get(answer.request)?.(answer);
    this.asked.delete(answer.request);
  }

  private tell(event: JobEvent): void {
    this.listener?.(event);
    if (LAST.includes(event.kind)) this.listener = undefined;
  }

  /** After a trap the module must not be used again: everything that waits for it has failed. */
  private crashed(detail: string): void {
    this.worker?.terminate();
    this.worker = undefined;
    const problem: MakeProblem = { code: 'crashed', detail };
    for (const request of [...this.asked.keys()]) {
      this.answer({ kind: 'request-failed', request, problem });
    }
    this.tell({ kind: 'failed', job: this.job, problem });
  }
}
